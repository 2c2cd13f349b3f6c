"""A rebuild’s checklist: what was wanted, what stands in for it, what is set already."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property

from django.db.models import Prefetch

from gear.equipment.models import Category, Unit
from gear.equipment.phantom import Line, Ruling, ruling_at
from gear.panels.models import Control, Kind, Meaning
from gear.panels.travel import Travel, travel
from gear.patchbay.clashes import clashes_of
from gear.patchbay.models import PatchPoint, Side
from gear.patchbay.patching import patch
from gear.patchbay.wiring import load_wiring
from sessions.recall.imported.chains import chains_of_data
from sessions.recall.models import Rebuild, RebuildStep, Tick
from sessions.recall.rebuilds.phantom import harmed_in, lines_of, place_of, steps_with_units
from sessions.recall.rebuilds.tone import ChainTone, ReadNow, StageTone, chain_tone
from sessions.recall.sheet.wanted import WantedChain, WantedStage, chain_of_revision
from sessions.setups.controls.matching import Match, match_settings
from sessions.setups.models import Photo, Placement, Revision, Stage
from sessions.setups.patching.connections import Connection, connect
from sessions.setups.patching.inherited import inherited_jack
from sessions.setups.patching.patch_list import Patching, wishes
from sessions.setups.patching.plugs import cord_numbers
from sessions.setups.placement.facts import placement_facts
from sessions.setups.signal_path.spine import Wire, wires_of


@dataclass(frozen=True)
class ControlLine:
    """A control of the unit in use; match is the logged setting that it takes, if any. Of a phantom
    switch, ruling says whom 48 V from it harms, and who needs it: then off is wanted, or on."""

    control: Control
    match: Match | None
    tick: Tick | None
    tone_read_at: datetime | None = None
    ruling: Ruling | None = None
    is_photographed: bool = False
    is_copied: bool = False  # what was logged came with a copy, and was not set
    photos: tuple[Photo, ...] = ()  # it is to be read on one of them; an imported sheet has none

    @property
    def logged(self) -> float | None:
        """Its logged setting on this control's scale."""
        return self.match.value if self.match else None

    @property
    def wanted(self) -> float | None:
        asked = self.ruling and self.ruling.to_advise
        if asked is None:
            return self.logged
        return self.on if asked else self.off

    @property
    def harmed(self) -> tuple[Unit, ...]:
        return self.ruling.harmed if self.ruling else ()

    @property
    def off(self) -> float | None:
        """Of a switch, its value that is off."""
        values = (mark.value for mark in self.control.dial().marks)
        return next((value for value in values if value <= 0), None)

    @property
    def on(self) -> float | None:
        values = (mark.value for mark in self.control.dial().marks)
        return next((value for value in values if value > 0), None)

    @property
    def button(self) -> str:
        """The name that its one button sends; empty where there is nothing to press."""
        if self.wanted is None or self.wanted == self.set_to:
            return ""
        if self.wanted == self.logged:
            return "as_logged"
        return "switch_on" if self.wanted > 0 else "leave_off"

    @property
    def why_off(self) -> str:
        """Why it must not be switched on; empty where it may be."""
        if not self.harmed:
            return ""
        words = f"{self.ruling.why_not}: leave it off"
        if self.logged != self.off:
            words += ", or choose another unit"
        if self.set_to == self.off:
            return f"{words}."
        return f"{words}. If it is on, switch it off and let it die away before that is plugged in."

    @property
    def why_on(self) -> str:
        """Why it is to be on although it was not logged so."""
        if self.ruling is None or self.logged == self.wanted or self.set_to == self.wanted:
            return ""
        return self.ruling.why_on

    @property
    def set_to(self) -> float | None:
        return self.tick.value if self.tick else None

    @property
    def is_set(self) -> bool:
        return self.set_to is not None

    @property
    def set_after_tone(self) -> bool:
        """Whether it was set, or its tick taken back, after the tone was read at the stage."""
        return _is_later(self.changed_at, self.tone_read_at)

    @property
    def changed_at(self) -> datetime | None:
        """A meter's reading that is ticked changes nothing."""
        return self.tick.ticked_at if self.tick and self.control.kind != Kind.READING else None

    @property
    def shown(self) -> float | None:
        """What the drawing shows: the wanted value, or what was set where none was logged."""
        return self.set_to if self.wanted is None else self.wanted

    @property
    def travel(self) -> Travel | None:
        """How far off it stands: from where it is wanted to where it was set."""
        if self.wanted is None or self.set_to is None:
            return None
        return travel(self.control, self.set_to, was=self.wanted)

    @property
    def is_off(self) -> bool:
        return self.travel is not None and self.travel.is_beyond

    @property
    def off_words(self) -> str:
        """In degrees and in its unit: 15°, +3 dB."""
        if self.travel is None:
            return ""
        if self.wanted == self.set_to:
            if self.logged == self.set_to:
                return "as logged"
            return "switched on" if self.set_to > 0 else "left off"
        return ", ".join(filter(None, (self.travel.words, self.travel.difference)))


@dataclass(frozen=True)
class StageLine:
    """A wanted stage with what stands in for it; patch_in and patch_out are that unit's."""

    step: RebuildStep
    wanted: WantedStage
    controls: tuple[ControlLine, ...]
    unmatched: tuple[str, ...]
    patch_in: PatchPoint | None
    patch_out: PatchPoint | None

    @property
    def unit(self) -> Unit | None:
        return self.step.unit

    @property
    def stands_in(self) -> bool:
        """Whether another unit than the logged one is used."""
        return self.unit is not None and self.unit.pk != self.wanted.unit_id

    @property
    def unit_in_words(self) -> str:
        """With its channel, where it is the logged unit: of another one nobody says which."""
        return f"{self.unit}" if self.stands_in else self.wanted.unit_in_words

    @property
    def to_set(self) -> int:
        return sum(line.wanted is not None for line in self.controls)

    @property
    def set_so_far(self) -> int:
        return sum(line.is_set for line in self.controls if line.wanted is not None)

    @property
    def read_now(self) -> ReadNow:
        """The tone at its output, and when any of it was set or chosen last."""
        changes = [self.step.chosen_at, *(line.changed_at for line in self.controls)]
        reading = self.step.tone_reading_dbu
        return ReadNow(
            None if reading is None else float(reading),
            self.step.tone_read_at,
            max((moment for moment in changes if moment), default=None),
        )


@dataclass(frozen=True)
class ChainChecklist:
    """`harmed`: what phantom power in it can damage, also by an input that shares its switch."""

    wanted: WantedChain
    stages: tuple[StageLine, ...]
    connections: tuple[Connection, ...]
    harmed: tuple[Unit, ...]
    wires: dict[int | None, Wire] = field(default_factory=dict)

    @property
    def places(self) -> list[tuple[StageLine, Wire | None]]:
        """Each stage with what feeds it."""
        return [(line, self.wires.get(line.wanted.position)) for line in self.stages]

    @property
    def out(self) -> Wire | None:
        return self.wires.get(None)

    @cached_property
    def tone(self) -> ChainTone:
        return chain_tone(self.wanted, {line.step.position: line.read_now for line in self.stages})

    @cached_property
    def with_tone(self) -> list[tuple[StageLine, StageTone]]:
        """The stages in use that the tone goes through."""
        pairs = ((line, self.tone.at(line.step.position)) for line in self.stages if line.unit)
        return [(line, tone) for line, tone in pairs if tone]

    @property
    def first_out(self) -> tuple[StageLine, StageTone] | None:
        """Where the tone first reads other than it ought, on the printed path."""
        found = self.tone.first_out
        return next((pair for pair in self.with_tone if pair[1] is found), None)

    @property
    def placement_facts(self) -> list[tuple[str, str]]:
        placement = self.wanted.placement
        return placement_facts(Placement(**placement)) if placement else []


@dataclass(frozen=True)
class Checklist:
    rebuild: Rebuild
    chains: tuple[ChainChecklist, ...]
    patching: Patching

    @property
    def stages(self) -> list[StageLine]:
        return [line for chain in self.chains for line in chain.stages]

    @property
    def to_set(self) -> int:
        return sum(line.to_set for line in self.stages)

    @property
    def set_so_far(self) -> int:
        return sum(line.set_so_far for line in self.stages)

    @property
    def to_read_again(self) -> int:
        """Readings of the tone that something was set after."""
        return sum(len(chain.tone.to_read_again) for chain in self.chains)

    @property
    def off(self) -> int:
        return sum(control.is_off for line in self.stages for control in line.controls)


def steps_of(steps) -> list[RebuildStep]:
    """Steps with all that working on them reads, in a constant number of queries."""
    return list(
        steps.select_related(
            "rebuild__song__project",
            "rebuild__imported",
            "unit__model",
            "unit__supply__model",
            "panel",
            "in_place_by",
            "rebuilt__revision__chain__source",
        )
        .prefetch_related("panel__controls", Prefetch("ticks", _ticks()), "stage")
        .order_by("chain_number", "position")
    )


def _ticks():
    return Tick.objects.select_related("ticked_by")


def checklist_of(rebuild: Rebuild) -> Checklist:
    """The whole rebuild; in a constant number of queries."""
    steps = steps_of(rebuild.steps.all())
    chains = wanted_chains(rebuild, steps)
    points = _points_of([step.unit_id for step in steps if step.unit_id])
    by_chain = defaultdict(list)
    for step in steps:
        by_chain[step.chain_number].append(step)
    lines = lines_of(steps)
    found = [_chain_checklist(chain, by_chain[chain.number], points, lines) for chain in chains]
    patching = _patching(found)
    numbers = cord_numbers([patching.patch_list])
    return Checklist(
        rebuild,
        tuple(
            replace(chain, wires=wires_of(chain.connections, patching.patch_list, numbers, {}))
            for chain in found
        ),
        patching,
    )


def _patching(chains: list[ChainChecklist]) -> Patching:
    """What to plug for all of them together, by the wiring of today."""
    wiring = load_wiring()
    wanted = [
        wish for chain in chains for wish in wishes(chain.connections, wiring, (str(chain.wanted),))
    ]
    patch_list = patch(wanted, wiring)
    return Patching(patch_list, tuple(clashes_of(patch_list, wiring)))


def stage_line(step: RebuildStep) -> StageLine:
    """One stage by itself."""
    (step,) = steps_of(RebuildStep.objects.filter(pk=step.pk))
    points = _points_of([step.unit_id] if step.unit_id else [])
    lines = lines_of(steps_with_units(step.rebuild))
    for chain in wanted_chains(step.rebuild, [step]):
        for wanted in chain.stages:
            if (chain.number, wanted.position) == (step.chain_number, step.position):
                return _stage_line(step, wanted, points, lines)
    raise LookupError(f"{step} belongs to no chain of its recall.")


def wanted_chains(rebuild: Rebuild, steps: Iterable[RebuildStep]) -> list[WantedChain]:
    """The chains that the steps set up again, in their order."""
    numbers = {step.chain_number: step for step in steps}
    if rebuild.imported_id:
        chains = chains_of_data(rebuild.imported.data)
        return [chain for chain in chains if chain.number in numbers]
    keys = {number: step.stage.revision_id for number, step in numbers.items()}
    revisions = Revision.objects.filter(pk__in=set(keys.values())).with_stages().in_bulk()
    return [chain_of_revision(revisions[key], number) for number, key in sorted(keys.items())]


def _points_of(units: list[int]) -> dict[tuple[int, str], list[PatchPoint]]:
    wired = defaultdict(list)
    for point in PatchPoint.objects.filter(unit__in=units).select_related("bay"):
        wired[point.unit_id, point.side].append(point)
    return wired


def _chain_checklist(
    wanted: WantedChain, steps: list[RebuildStep], points, fed: dict[int, Line]
) -> ChainChecklist:
    by_position = {step.position: step for step in steps}
    lines = [
        _stage_line(by_position[stage.position], stage, points, fed)
        for stage in wanted.stages
        if stage.position in by_position
    ]
    lines = _with_lines_of_left_out(lines)
    in_use = [_as_stage(line) for line in lines if line.unit]
    made = connect(in_use, wanted.destination_input)
    return ChainChecklist(wanted, tuple(lines), tuple(made), harmed_in(wanted.number, fed))


def _with_lines_of_left_out(lines: list[StageLine]) -> list[StageLine]:
    """The line of a wall box that a left-out supply was plugged into is its microphone's."""
    found: list[StageLine] = []
    for line in lines:
        wanted, before = line.wanted, found[-1] if found else None
        if before and not line.unit and wanted.category == Category.SUPPLY:
            jack = inherited_jack(wanted.patch_out, unit_id=wanted.unit_id, wired=before.patch_out)
            found[-1] = replace(before, patch_out=jack)
        found.append(line)
    return found


def _as_stage(line: StageLine) -> Stage:
    """The stage that it would be in a chain; not saved."""
    return Stage(
        position=line.wanted.position,
        unit=line.unit,
        channel=line.step.channel,
        path=line.wanted.path,
        patch_in=line.patch_in,
        patch_out=line.patch_out,
    )


def _stage_line(
    step: RebuildStep, wanted: WantedStage, points, lines: dict[int, Line]
) -> StageLine:
    controls = list(step.panel.controls.all()) if step.panel else []
    matches = match_settings(wanted.logged(), controls)
    taken = {match.target.key: match for match in matches if match.target}
    ticks = {tick.key: tick for tick in step.ticks.all()}
    photographed, not_yet_set = (
        {(each.key, each.meaning) for each in wanted.controls if each.key in keys}
        for keys in (wanted.photographed, wanted.not_yet_set)
    )
    ruling = ruling_at(place_of(step), lines.values()) if step.unit else None
    itself = step.unit_id is not None and step.unit_id == wanted.unit_id

    def inherited(standing: PatchPoint | None, side: Side) -> PatchPoint | None:
        wired = _only(points[step.unit_id, side], step)
        return inherited_jack(standing, unit_id=wanted.unit_id, wired=wired)

    return StageLine(
        step=step,
        wanted=wanted,
        controls=tuple(
            ControlLine(
                control,
                taken.get(control.key),
                ticks.get(control.key),
                step.tone_read_at,
                ruling if control.meaning == Meaning.PHANTOM else None,
                (control.key, control.meaning) in photographed,
                (control.key, control.meaning) in not_yet_set,
                tuple(photo for photo in wanted.photos if control.key in photo.reads),
            )
            for control in controls
        ),
        unmatched=tuple(match.problem for match in matches if match.problem),
        patch_in=wanted.patch_in if itself else inherited(wanted.patch_in, Side.RETURN),
        patch_out=wanted.patch_out if itself else inherited(wanted.patch_out, Side.SEND),
    )


def _is_later(moment: datetime | None, than: datetime | None) -> bool:
    return moment is not None and than is not None and moment > than


def _only(points: list[PatchPoint], step: RebuildStep) -> PatchPoint | None:
    points = [point for point in points if point.channel in (None, step.channel or point.channel)]
    return points[0] if len(points) == 1 else None
