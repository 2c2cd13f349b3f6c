"""The recall sheet of a song: what was chosen, and only the chains that it was recorded through."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Exists, OuterRef

from gear.panels.models import Control
from gear.panels.reading import ControlReading, read_control
from gear.panels.strokes import Drawing
from gear.patchbay.wiring import Wiring, load_wiring
from sessions.recall.sheet.headphones import HeadphoneSheet, headphone_sheets
from sessions.recall.sheet.levels import changed_format, level_facts
from sessions.recall.sheet.placement import placement_facts
from sessions.recall.sheet.signal_path import Step, path_word, signal_path
from sessions.setups.chains.summary import Completeness, completeness
from sessions.setups.comparing.comparison import Comparison, compare
from sessions.setups.controls.curves import Curve, stage_curves
from sessions.setups.levels.plan import LevelPlan, level_plan
from sessions.setups.models import Placement, Revision, Stage
from sessions.setups.patching.connections import Connection, connections
from sessions.setups.patching.patch_list import Patching, patching_then
from sessions.setups.placement.drawing import placement_drawing
from sessions.setups.warnings.cautions import ChainCaution, chain_cautions
from sessions.songs.models import Song
from sessions.takes.models import CompChoice, Mark, Take, TakeRevision


@dataclass(frozen=True)
class ControlSetting:
    """A control as it was set, to be drawn and read."""

    control: Control
    value: float | None
    reading: ControlReading


@dataclass(frozen=True)
class ControlGroup:
    name: str
    controls: tuple[ControlSetting, ...]


@dataclass(frozen=True)
class StageSheet:
    """One unit with every control of its panel in signal order; path_word: printed, monitor only."""

    stage: Stage
    path_word: str
    groups: tuple[ControlGroup, ...]
    curves: tuple[Curve, ...]


@dataclass(frozen=True)
class ChainSheet:
    """One revision of a chain, with the chosen takes that were recorded through it.

    other_numbers: the revisions of the same chain that other chosen takes went through.
    changes: against the one of those that came before it; None for the first.
    """

    revision: Revision
    takes: tuple[Take, ...]
    other_numbers: tuple[int, ...]
    path: tuple[Step, ...]
    levels: LevelPlan
    changes: Comparison | None
    connections: tuple[Connection, ...]
    patching: Patching
    placement: Placement | None
    stages: tuple[StageSheet, ...]
    completeness: Completeness
    cautions: tuple[ChainCaution, ...]

    @property
    def placement_facts(self) -> list[tuple[str, str]]:
        return placement_facts(self.placement) if self.placement else []

    @property
    def placement_drawing(self) -> Drawing:
        facts = "; ".join(f"{name.lower()}: {said}" for name, said in self.placement_facts)
        return placement_drawing(self.placement, f"Placement from the side, not to scale. {facts}")

    @property
    def level_facts(self) -> list[tuple[str, str]]:
        return level_facts(self.revision, self.levels)

    @property
    def changed_format(self) -> str:
        """Whose day's facts these are, where that is to be known; else empty."""
        return changed_format(self.revision)


@dataclass(frozen=True)
class ChosenTake:
    """A take that the recording is made of, why, and the revisions it went through.

    An empty `revisions` means that nobody documented the chain.
    """

    take: Take
    why: str
    revisions: tuple[Revision, ...]


@dataclass(frozen=True)
class RecallSheet:
    song: Song
    facts: tuple[tuple[str, str], ...]
    takes: tuple[ChosenTake, ...]
    chains: tuple[ChainSheet, ...]
    headphones: tuple[HeadphoneSheet, ...]


def recall_sheet(song: Song) -> RecallSheet:
    """In a constant number of queries, if the song is loaded with project and client."""
    takes = list(_chosen_takes(song))
    used = defaultdict(set)
    through = list(_through(takes))
    for each in through:
        used[each.revision_id].add(each.take_id)
    revisions = list(_revisions(used))
    wiring = load_wiring()
    return RecallSheet(
        song=song,
        facts=(*song_facts(song), *_recorded_otherwise(revisions)),
        takes=tuple(_chosen(take, revisions, used) for take in takes),
        chains=tuple(
            _chain_sheet(
                revision,
                takes=[take for take in takes if take.pk in used[revision.pk]],
                all_revisions=revisions,
                wiring=wiring,
            )
            for revision in revisions
        ),
        headphones=headphone_sheets(takes, revisions, through),
    )


def song_facts(song: Song) -> list[tuple[str, str]]:
    """Name and value, empty where nobody gave one."""
    project = song.project
    return [
        ("Artist", project.artist),
        ("Project", project.name),
        ("Client", f"{project.client}"),
        ("Key", song.key),
        ("Meter", song.meter),
        ("Tempo", _tempo_in_words(song.tempo_map)),
        ("Sample rate", project.get_sample_rate_display()),
        ("Bit depth", project.get_bit_depth_display()),
        ("Alignment", f"0 dBFS at {_signed(project.full_scale_dbu)} dBu"),
        ("ISRC", song.isrc_printed),
        ("ISWC", song.iswc_printed),
    ]


def _tempo_in_words(tempo_map: list[dict]) -> str:
    """96 beats per minute; from bar 33, 104."""
    words = []
    for change in tempo_map:
        bpm = f"{change['bpm']:g}"
        words.append(f"from bar {change['bar']}, {bpm}" if words else f"{bpm} beats per minute")
    return "; ".join(words)


def _signed(value: Decimal) -> str:
    return f"{float(value):+g}"


def _recorded_otherwise(revisions: list[Revision]) -> Iterator[tuple[str, str]]:
    """Which chains were recorded when the project had another format than today."""
    places = [
        f"{place}"
        for place, revision in enumerate(revisions, 1)
        if revision.recording_format != revision.format_today
    ]
    if places:
        word = "chain" if len(places) == 1 else "chains"
        yield "Recorded in another format", f"{word} {', '.join(places)}: see the levels there"


def _chosen_takes(song: Song):
    in_comp = Exists(CompChoice.objects.filter(take=OuterRef("pk")))
    return (
        Take.objects.filter(song=song)
        .chosen()
        .annotate(in_comp=in_comp)
        .select_related("part__performer", "session")
        .order_by("part__position", "part__name", "part_id", "number")
    )


def _through(takes: Iterable[Take]):
    return TakeRevision.objects.filter(take__in=[take.pk for take in takes]).select_related("heard")


def _revisions(keys: Iterable[int]):
    return (
        Revision.objects.filter(pk__in=list(keys))
        .with_stages()
        .order_by(
            "chain__setup__session__starts_at",
            "chain__setup__position",
            "chain__setup_id",
            "chain__position",
            "chain_id",
            "number",
        )
    )


def _chosen(take: Take, revisions: list[Revision], used: dict[int, set[int]]) -> ChosenTake:
    reasons = [
        (take.circled, "circled"),
        (take.mark == Mark.MASTER, "marked master"),
        (take.in_comp, "in the comp"),
    ]
    return ChosenTake(
        take=take,
        why=", ".join(word for holds, word in reasons if holds),
        revisions=tuple(revision for revision in revisions if take.pk in used[revision.pk]),
    )


def _chain_sheet(
    revision: Revision, *, takes: list[Take], all_revisions: list[Revision], wiring: Wiring
) -> ChainSheet:
    others = [
        other
        for other in all_revisions
        if other.chain_id == revision.chain_id and other != revision
    ]
    earlier = [other for other in others if other.number < revision.number]
    levels = level_plan(revision)
    return ChainSheet(
        revision=revision,
        takes=tuple(takes),
        other_numbers=tuple(other.number for other in others),
        path=signal_path(revision, levels),
        levels=levels,
        changes=compare(earlier[-1], revision) if earlier else None,
        connections=tuple(connections(revision)),
        patching=patching_then([revision], wiring),
        placement=getattr(revision, "placement", None),
        stages=tuple(_stage_sheet(stage) for stage in revision.stages.all()),
        completeness=completeness(revision),
        cautions=tuple(chain_cautions(revision)),
    )


def _stage_sheet(stage: Stage) -> StageSheet:
    return StageSheet(
        stage=stage,
        path_word=path_word(stage),
        groups=tuple(
            ControlGroup(name, tuple(_setting(control, value) for control, value in settings))
            for name, settings in stage.settings_by_group()
        ),
        curves=tuple(stage_curves(stage)),
    )


def _setting(control: Control, value: float | None) -> ControlSetting:
    return ControlSetting(control, value, read_control(control, value))
