"""What differs between two revisions: of one chain, or of two.

Stages are the same when they hold the same unit, else the same model, in the order of the chain;
what is left was put in or taken out. Controls are matched by key, also across panel versions.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import astuple, dataclass

from gear.audio.values import number_text
from gear.panels.models import Control
from gear.panels.reading import PHOTOGRAPHED, read_control
from gear.panels.travel import Travel, travel
from sessions.setups.models import Placement, Revision, SourceFacts, Stage

EMPTY = "empty"
NOT_ON_PANEL = "not on the panel"


@dataclass(frozen=True)
class Difference:
    """One fact, in words, before and after."""

    label: str
    before: str
    after: str


@dataclass(frozen=True)
class ChangeRow:
    """One difference in words, with the unit, or what else it is about."""

    where: str
    what: str
    before: str
    after: str


@dataclass(frozen=True)
class ControlDifference:
    """One control that was set otherwise. travel is None where one side has no setting."""

    label: str
    group: str
    before: str
    after: str
    travel: Travel | None

    @property
    def is_beyond(self) -> bool:
        """Beyond the control's tolerance; logged on one side only counts as beyond."""
        return self.travel is None or self.travel.is_beyond


@dataclass(frozen=True)
class StageDifference:
    """A stage on both sides, or on one: then it was put in (no before) or taken out (no after)."""

    before: Stage | None
    after: Stage | None
    moved: bool
    facts: tuple[Difference, ...]
    controls: tuple[ControlDifference, ...]

    @property
    def stage(self) -> Stage:
        return self.after or self.before

    @property
    def word(self) -> str:
        """put in, taken out, another unit, moved, changed, or empty for the same."""
        if self.before is None:
            return "added"
        if self.after is None:
            return "removed"
        if self.before.unit_id != self.after.unit_id:
            return "another unit"
        if self.moved:
            return "moved"
        return "changed" if self.facts or self.controls else ""

    @property
    def differs(self) -> bool:
        return bool(self.word)

    def rows(self) -> list[ChangeRow]:
        where, rows = f"{self.stage.facts.unit}", []
        if self.word != "changed":
            places = (
                f"unit {each.position}" if each else "–" for each in (self.before, self.after)
            )
            rows.append(ChangeRow(where, self.word.capitalize(), *places))
        rows += [ChangeRow(where, *astuple(fact)) for fact in self.facts]
        return rows + [
            ChangeRow(where, control.label, control.before, control.after)
            for control in self.controls
        ]


@dataclass(frozen=True)
class Comparison:
    before: Revision
    after: Revision
    facts: tuple[Difference, ...]
    placement: tuple[Difference, ...]
    stages: tuple[StageDifference, ...]
    amplifier: tuple[ControlDifference, ...] = ()

    @property
    def changed_stages(self) -> list[StageDifference]:
        return [stage for stage in self.stages if stage.differs]

    @property
    def rows(self) -> list[ChangeRow]:
        """All of it in words, in the order of the chain."""
        rows = [ChangeRow("Chain", *astuple(fact)) for fact in self.facts]
        rows += [
            ChangeRow("Amplifier", control.label, control.before, control.after)
            for control in self.amplifier
        ]
        rows += [ChangeRow("Placement", *astuple(fact)) for fact in self.placement]
        for found in self.changed_stages:
            rows += found.rows()
        return rows

    @property
    def parted(self) -> list[ChangeRow]:
        """Of the two sides of a pair: what is set on one otherwise than on the other."""
        return [
            ChangeRow(f"{found.stage.unit.model}", control.label, control.before, control.after)
            for found in self.stages
            for control in found.controls
        ]

    @property
    def is_same(self) -> bool:
        return not (self.facts or self.amplifier or self.placement or self.changed_stages)

    @property
    def beyond_tolerance(self) -> int:
        """How many controls were moved further than their tolerance."""
        of_stages = (control for stage in self.stages for control in stage.controls)
        return sum(control.is_beyond for control in (*self.amplifier, *of_stages))


def compare(before: Revision, after: Revision) -> Comparison:
    """Both loaded `with_stages`; costs no query."""
    return Comparison(
        before,
        after,
        facts=_differences(before, after, _CHAIN_FACTS),
        placement=_differences(_placement(before), _placement(after), _PLACEMENT_FACTS),
        stages=tuple(_stages(list(before.stages.all()), list(after.stages.all()))),
        amplifier=tuple(_controls(before.source_facts, after.source_facts)),
    )


def _stages(before: list[Stage], after: list[Stage]) -> Iterator[StageDifference]:
    """In the order of the later chain; what was taken out stands where it stood."""
    pairs = _matched(before, after)
    stayed = _stayed(before, after, pairs)
    gone = [old for old in before if old not in pairs]
    partners = {id(new): old for old, new in pairs.items()}
    for new in after:
        while gone and gone[0].position <= new.position:
            yield StageDifference(gone.pop(0), None, False, (), ())
        old = partners.get(id(new))
        yield _stage_difference(old, new, moved=old is not None and old not in stayed)
    for old in gone:
        yield StageDifference(old, None, False, (), ())


def _matched(before: list[Stage], after: list[Stage]) -> dict[Stage, Stage]:
    """Each stage's counterpart: the same unit, else the same model, first come first served."""
    pairs: dict[Stage, Stage] = {}
    free = list(after)
    for sameness in (lambda stage: stage.unit_id, lambda stage: stage.unit.model_id):
        for old in before:
            found = next((new for new in free if sameness(new) == sameness(old)), None)
            if old not in pairs and found is not None:
                pairs[old] = found
                free.remove(found)
    return pairs


def _stayed(before: list[Stage], after: list[Stage], pairs: dict[Stage, Stage]) -> set[Stage]:
    """The most stages that kept their order among each other; the others were moved past them."""
    places = {id(new): place for place, new in enumerate(after)}
    runs: list[list[Stage]] = []  # the longest rising run that ends in each stage
    for old in (old for old in before if old in pairs):
        place = places[id(pairs[old])]
        longest = max(
            (run for run in runs if places[id(pairs[run[-1]])] < place), key=len, default=[]
        )
        runs.append([*longest, old])
    return set(max(runs, key=len, default=[]))


def _stage_difference(old: Stage | None, new: Stage, *, moved: bool) -> StageDifference:
    if old is None:
        return StageDifference(None, new, False, (), ())
    return StageDifference(
        old, new, moved, _differences(old, new, _STAGE_FACTS), tuple(_controls(old, new))
    )


def _controls(old: Stage | SourceFacts, new: Stage | SourceFacts) -> Iterator[ControlDifference]:
    olds = {control.key: control for control in old.controls()}
    news = {control.key: control for control in new.controls()}
    for key in [*news, *(key for key in olds if key not in news)]:
        before, after = _set(olds.get(key), old), _set(news.get(key), new)
        control = news.get(key) or olds[key]
        if (before.value, before.is_photographed) == (after.value, after.is_photographed):
            continue  # the same, or on one panel only and not logged
        moved = None
        if None not in (before.value, after.value):
            moved = travel(control, after.value, was=before.value, on=olds[key])
        yield ControlDifference(control.label, control.group, before.words, after.words, moved)


@dataclass(frozen=True)
class _Setting:
    value: float | None
    words: str
    is_photographed: bool = False


def _set(control: Control | None, stage: Stage | SourceFacts) -> _Setting:
    if control is None:
        return _Setting(None, NOT_ON_PANEL)
    if control.key in stage.photographed:
        return _Setting(None, PHOTOGRAPHED, is_photographed=True)
    value = stage.setting(control)
    reading = read_control(control, value)
    words = ", ".join(text for text in (reading.value_text, reading.clock_text) if text)
    return _Setting(value, words)


_Facts = Iterable[tuple[str, Callable[..., object]]]


def _differences(before, after, facts: _Facts) -> tuple[Difference, ...]:
    found = [Difference(label, _words(read(before)), _words(read(after))) for label, read in facts]
    return tuple(fact for fact in found if fact.before != fact.after)


def _words(value: object) -> str:
    return EMPTY if value in (None, "") else str(value)


def _placement(revision: Revision) -> Placement:
    return getattr(revision, "placement", None) or Placement()


def _figure(name: str, unit: str) -> Callable[..., str]:
    return lambda thing: number_text(getattr(thing, name), unit)


_CHAIN_FACTS: _Facts = (
    ("Source", lambda revision: revision.source_facts.name),
    ("Performer", lambda revision: revision.source_facts.performer),
    ("Place in the room", lambda revision: revision.source_facts.place),
    ("Instrument", lambda revision: revision.source_facts.instrument),
    ("Tuning", lambda revision: revision.source_facts.tuned),
    ("Amplifier", lambda revision: revision.source_facts.amplified_by),
    ("Re-amplified from", lambda revision: revision.source_facts.played_from),
    ("Note on the source", lambda revision: revision.source_facts.note),
    ("Parts", lambda revision: revision.chain.parts_in_words),
    ("Track", lambda revision: revision.chain.track),
    ("Input", lambda revision: revision.chain.destination_input),
    ("Feed", lambda revision: revision.chain.taken_by),
    ("Summed at", lambda revision: revision.chain.summed_at),
    ("Pair or group", lambda revision: revision.group_facts),
    ("Source level", _figure("source_spl_db", "dB SPL")),
    ("Source level measured at", _figure("source_distance_cm", "cm")),
    ("Source level by cable", _figure("source_dbu", "dBu")),
    ("Test tone, frequency", _figure("tone_hz", "Hz")),
    ("Test tone, level", _figure("tone_dbu", "dBu")),
    ("Note", lambda revision: revision.note),
)
_PLACEMENT_FACTS: _Facts = (
    ("Distance", _figure("distance_cm", "cm")),
    ("Height", _figure("height_cm", "cm")),
    ("Angle", _figure("angle_deg", "°")),
    ("Axis points", lambda placement: placement.get_angle_towards_display()),
    ("Orientation", lambda placement: placement.get_orientation_display()),
    ("Pattern", lambda placement: placement.pattern),
    ("Pop filter", lambda placement: "yes" if placement.pop_filter else "none"),
    ("Pop filter to capsule", _figure("pop_filter_cm", "cm")),
    ("Stand", lambda placement: placement.stand),
    ("Cable", lambda placement: placement.cable),
    ("To the right of the group’s middle", _figure("across_cm", "cm")),
    ("In front of the group’s middle", _figure("along_cm", "cm")),
    ("Note", lambda placement: placement.note),
)
_STAGE_FACTS: _Facts = (
    ("Unit", lambda stage: stage.facts.unit),
    ("Serial number", lambda stage: stage.facts.unit.serial_number),
    ("Its supply", lambda stage: stage.facts.unit.supply),
    ("Path", lambda stage: stage.get_path_display()),
    ("Patched in at", lambda stage: stage.facts.patch_in),
    ("Patched out at", lambda stage: stage.facts.patch_out),
    ("Cord out", _figure("cord_cm", "cm")),
    ("Panel", lambda stage: f"version {stage.panel.version}" if stage.panel else ""),
    ("Tone at its output", _figure("tone_reading_dbu", "dBu")),
    ("Level at its output", _figure("reading_out_dbu", "dBu")),
    ("Note", lambda stage: stage.note),
)
