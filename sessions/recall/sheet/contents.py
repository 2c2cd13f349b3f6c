"""The recall sheet of a song: what was chosen, and only the chains that it was recorded through."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from django.db.models import Prefetch, QuerySet

from gear.audio.level_text import level_text
from gear.panels.strokes import Drawing
from gear.patchbay.wiring import Wiring, load_wiring
from sessions.recall.sheet.breaks import run_on
from sessions.recall.sheet.front import NeededUnit, needed_units
from sessions.recall.sheet.headphones import HeadphoneSheet, headphone_sheets
from sessions.recall.sheet.song_patch import ChainPlugs, SongPatch, song_patch
from sessions.setups.chains.phantom import HEARS, phantom_words
from sessions.setups.comparing.comparison import Comparison, compare
from sessions.setups.grouping.drawing import group_drawing
from sessions.setups.models import Revision
from sessions.setups.patching.patch_list import Patching
from sessions.setups.patching.plugs import CordKey
from sessions.setups.photos.changes import ShownPhoto, setup_photos
from sessions.setups.signal_path.chain import ChainPath, chain_path
from sessions.setups.signal_path.units import StageSheet
from sessions.setups.warnings.cautions import ChainCaution, setup_cautions
from sessions.setups.warnings.no_signal import no_signal
from sessions.setups.warnings.warning import Warning
from sessions.songs.models import Part, Song
from sessions.takes.comp.lines import Comp, comps_of
from sessions.takes.models import CompChoice, Mark, TakePart, TakeRevision


@dataclass(frozen=True, kw_only=True)
class ChainSheet(ChainPath):
    """One revision of a chain, with the chosen takes that were recorded through it.

    number: its place on the sheet.
    while_rolling: of the takes during which it came into force.
    other_numbers: the revisions of the same chain that other chosen takes went through.
    changes: against the one of those that came before it; None for the first.
    """

    number: int
    takes: tuple[TakePart, ...]
    while_rolling: tuple[TakeRevision, ...]
    other_numbers: tuple[int, ...]
    changes: Comparison | None
    patching: Patching


@dataclass(frozen=True)
class ChosenTake:
    """A part of a take that the recording is made of, why, and what it went through, in order.

    An empty `through` means that nobody documented the chain. `not_settled`: chains that may have stood
    otherwise, since the take was pressed off line and nobody has said how they stood.
    """

    part: TakePart
    why: str
    through: tuple[TakeRevision, ...]
    not_settled: tuple[str, ...] = ()


@dataclass(frozen=True)
class TrackLine:
    """A track of the song: the chain behind it, its chosen takes, its microphone or DI box, and
    what 48 V is to its input."""

    chain: ChainSheet
    takes: tuple[ChosenTake, ...]
    input: StageSheet | None
    phantom: str

    @property
    def passes(self) -> "list[tuple[ChosenTake, ...]]":
        return together(self.takes)


@dataclass(frozen=True)
class RecallSheet:
    """Of a song, or of one `part`; `tracks` to `photos` concern the whole of it, `undocumented`
    are takes without a chain, `comps` say which lines come from which take."""

    song: Song
    part: Part | None
    facts: tuple[tuple[str, str], ...]
    takes: tuple[ChosenTake, ...]
    chains: tuple[ChainSheet, ...]
    tracks: tuple[TrackLine, ...]
    undocumented: tuple[ChosenTake, ...]
    comps: tuple[Comp, ...]
    no_signal: tuple[Warning, ...]
    cautions: tuple[ChainCaution, ...]
    units: tuple[NeededUnit, ...]
    patch: SongPatch
    headphones: tuple[HeadphoneSheet, ...]
    groups: tuple[Drawing, ...]
    photos: tuple[ShownPhoto, ...]

    @property
    def undocumented_passes(self) -> list[tuple[ChosenTake, ...]]:
        return together(self.undocumented)

    @property
    def notes(self) -> list[tuple[str, str]]:
        """On the chosen takes and on their parts, each once however many tracks it was recorded to."""
        noted = {f"{each.part.take}": each.part.take.note for each in self.takes}
        noted |= {f"{each.part}": each.part.note for each in self.takes}
        return [(what, note) for what, note in noted.items() if note]

    @property
    def not_settled(self) -> list[tuple[str, str]]:
        """Takes that may have gone through more than the sheet has, each once, and what that is."""
        takes = {f"{each.part.take}": each.not_settled for each in self.takes}
        return [(take, "; ".join(chains)) for take, chains in takes.items() if chains]

    @property
    def run_on(self) -> frozenset[int]:
        return run_on(self.chains)


def recall_sheet(subject: Song | Part) -> RecallSheet:
    """In a constant number of queries, if the song is loaded with project and client."""
    part = subject if isinstance(subject, Part) else None
    song = part.song if part else subject
    parts = subject.take_parts if part else TakePart.objects.filter(take__song=song)
    chosen = tuple(map(_chosen, _loaded(parts)))
    used = defaultdict(list)
    for each in chosen:
        for through in each.through:
            used[through.revision_id].append(each)
    revisions = list(_revisions(used))
    wiring = load_wiring()
    patch, plugs = song_patch(revisions, wiring)
    chains = tuple(
        _chain_sheet(
            chain,
            takes=used[chain.revision.pk],
            all_revisions=revisions,
            cord_numbers=patch.numbers,
        )
        for chain in plugs
    )
    comps = comps_of(part.comp_choices if part else CompChoice.objects.filter(part__song=song))
    return put_together(
        song,
        part,
        takes=chosen,
        chains=chains,
        comps=tuple(comps),
        patch=patch,
        headphones=headphone_sheets(chosen, revisions),
        photos=tuple(_photos(revisions)),
        wiring=wiring,
    )


def put_together(
    song: Song,
    part: Part | None,
    *,
    takes: tuple[ChosenTake, ...],
    chains: tuple[ChainSheet, ...],
    comps: tuple[Comp, ...],
    patch: SongPatch,
    headphones: tuple[HeadphoneSheet, ...],
    photos: tuple[ShownPhoto, ...],
    wiring: Wiring | None = None,
) -> RecallSheet:
    """What the sheet says as a whole, from its takes and chains. No query if they are loaded."""
    used = defaultdict(list)
    for each in takes:
        for through in each.through:
            used[through.revision_id].append(each)
    revisions = [chain.revision for chain in chains]
    return RecallSheet(
        song=song,
        part=part,
        facts=(*song_facts(song), *_clock_and_click(revisions), *_recorded_otherwise(revisions)),
        takes=takes,
        chains=chains,
        tracks=tuple(_track(chain, used[chain.revision.pk], revisions) for chain in chains),
        undocumented=tuple(each for each in takes if not each.through),
        comps=comps,
        no_signal=tuple(no_signal(_at_a_time(takes, revisions), wiring)),
        cautions=tuple(setup_cautions(revisions)),
        units=tuple(needed_units((chain.number, chain.revision) for chain in chains)),
        patch=patch,
        headphones=headphones,
        groups=tuple(_group_drawings(revisions)),
        photos=photos,
    )


def _at_a_time(
    takes: Iterable[ChosenTake], revisions: Iterable[Revision]
) -> Iterator[list[Revision]]:
    """The chains of each chosen take, by what they were last if they were changed meanwhile."""
    by_key, of_takes = {each.pk: each for each in revisions}, defaultdict(dict)
    for each in takes:
        for through in each.through:
            if through.revision_id in by_key:
                revision = by_key[through.revision_id]
                of_takes[each.part.take_id][revision.chain_id] = revision
    yield from (list(of_take.values()) for of_take in of_takes.values())
    yield from ([revision] for revision in by_key.values())


def together(takes: Iterable[ChosenTake]) -> list[tuple[ChosenTake, ...]]:
    """Parts of one take that are chosen for the same reason, in one line."""
    passes = defaultdict(list)
    for each in takes:
        passes[each.part.take_id, each.why].append(each)
    return list(map(tuple, passes.values()))


def _photos(revisions: list[Revision]) -> Iterator[ShownPhoto]:
    """Of the setups as a whole, as far as they show what stands on the sheet."""
    by_setup = defaultdict(list)
    for revision in revisions:
        by_setup[revision.chain.setup].append(revision)
    for setup, ours in by_setup.items():
        yield from setup_photos(setup.photos.all(), ours)


def _group_drawings(revisions: list[Revision]) -> Iterator[Drawing]:
    """Where the microphones of each group stood, from above, as far as that was measured."""
    groups = defaultdict(list)
    for revision in revisions:
        facts = revision.group_facts
        if facts and not facts.is_pair:
            groups[revision.chain.setup_id, facts.name].append(revision)
    for (_, name), ours in groups.items():
        if drawing := group_drawing(name, ours):
            yield drawing


def song_facts(song: Song) -> list[tuple[str, str]]:
    """Name and value, empty where nobody gave one."""
    project = song.project
    return [
        ("Artist", project.artist),
        ("Project", project.name),
        ("Client", f"{project.client}"),
        ("Key", song.key),
        ("Time signature", song.meter),
        ("Tempo", _tempo_in_words(song.tempo_map)),
        ("Sample rate", project.get_sample_rate_display()),
        ("Bit depth", project.get_bit_depth_display()),
        ("Alignment", f"0 dBFS at {level_text(float(project.full_scale_dbu))}"),
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


def _clock_and_click(revisions: list[Revision]) -> Iterator[tuple[str, str]]:
    formats = [revision.recording_format for revision in revisions]
    yield "Clock", "; ".join(dict.fromkeys(each.clock for each in formats if each.clock))
    yield "Click", "; ".join(dict.fromkeys(each.click for each in formats if each.click))


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


def _loaded(parts: QuerySet):
    through = TakeRevision.objects.for_list().select_related("heard")
    return (
        parts.chosen()
        .in_order()
        .select_related("take__session", "take__into")
        .prefetch_related(
            Prefetch("take__through", through), "take__in_doubt__revision__chain__source"
        )
    )


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


def _chosen(part: TakePart) -> ChosenTake:
    reasons = [
        (part.circled, "circled"),
        (part.mark == Mark.MASTER, "marked master"),
        (part.in_comp, "in the comp"),
        (part.punched_into, "punched into"),
    ]
    why = ", ".join(word for holds, word in reasons if holds)
    not_settled = (f"{doubt.revision}" for doubt in part.take.in_doubt.all())
    return ChosenTake(part, why, tuple(part.through()), tuple(not_settled))


def _chain_sheet(
    plugs: ChainPlugs,
    *,
    takes: list[ChosenTake],
    all_revisions: list[Revision],
    cord_numbers: Mapping[CordKey, int],
) -> ChainSheet:
    revision = plugs.revision
    others = [
        other
        for other in all_revisions
        if other.chain_id == revision.chain_id and other != revision
    ]
    earlier = [other for other in others if other.number < revision.number]
    return ChainSheet(
        **vars(chain_path(revision, plugs.patching.patch_list, cord_numbers, leads=plugs.leads)),
        number=plugs.number,
        takes=tuple(each.part for each in takes),
        while_rolling=_while_rolling(revision, takes),
        other_numbers=tuple(other.number for other in others),
        changes=compare(earlier[-1], revision) if earlier else None,
        patching=plugs.patching,
    )


def _while_rolling(revision: Revision, takes: Iterable[ChosenTake]) -> tuple[TakeRevision, ...]:
    """Once a take, however many of its parts are chosen."""
    through = {
        each.take_id: each
        for chosen in takes
        for each in chosen.through
        if each.revision_id == revision.pk and each.since
    }
    return tuple(through.values())


def _track(chain: ChainSheet, chosen: Iterable[ChosenTake], revisions: list[Revision]) -> TrackLine:
    return TrackLine(
        chain,
        tuple(chosen),
        next((sheet for sheet in chain.stages if sheet.stage.unit.model.category in HEARS), None),
        phantom_words(chain.revision, revisions),
    )
