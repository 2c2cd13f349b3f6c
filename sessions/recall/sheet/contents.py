"""The recall sheet of a song: what was chosen, and only the chains that it was recorded through."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial, reduce
from operator import or_

from django.db.models import Q

from gear.equipment.models import Category
from gear.panels.models import Meaning
from gear.panels.strokes import Drawing
from gear.patchbay.wiring import Wiring, load_wiring
from sessions.recall.proving.feeding import digest_through
from sessions.recall.sheet.breaks import run_on
from sessions.recall.sheet.chosen import (
    ChosenTake,
    TakeLine,
    chosen_take,
    loaded_parts,
    take_lines,
    together,
)
from sessions.recall.sheet.engraved import EngravedPanel, engraved_panels
from sessions.recall.sheet.front import (
    CordCount,
    NeededUnit,
    Shared,
    cord_counts,
    needed_units,
    shared_things,
    units_by_kind,
)
from sessions.recall.sheet.headphones import HeadphoneSheet, headphone_sheets
from sessions.recall.sheet.people import Contact, SessionPeople, our_contact, people_of
from sessions.recall.sheet.song_facts import clock_and_click, recorded_otherwise, song_facts
from sessions.recall.sheet.song_patch import ChainPlugs, SongPatch, song_patch
from sessions.recall.sound.measured import Measured, measured_of_revision
from sessions.recall.sound.told import Sound, sound_of
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
from sessions.setups.warnings.no_signal import no_signal, of_each_take
from sessions.setups.warnings.warning import Warning
from sessions.songs.models import Part, Song
from sessions.takes.comp.lines import Comp, comps_of
from sessions.takes.models import CompChoice, TakePart, TakeRevision


@dataclass(frozen=True, kw_only=True)
class ChainSheet(ChainPath):
    """One revision of a chain, with the chosen takes that were recorded through it.

    number: its place on the sheet.
    while_rolling: of the takes during which it came into force.
    other_numbers: the revisions of the same chain that other chosen takes went through.
    changes: against the one of those that came before it; None for the first.
    since_reading: against the revision on which its levels were read; None where that is this one, or
    nobody read them.
    measured: what was measured of its sound.
    """

    number: int
    takes: tuple[TakePart, ...]
    while_rolling: tuple[TakeRevision, ...]
    other_numbers: tuple[int, ...]
    changes: Comparison | None
    patching: Patching
    since_reading: Comparison | None = None
    measured: tuple[Measured, ...] = ()

    @property
    def sounds(self) -> tuple[Sound, ...]:
        """What is printed of that: of the chain as a whole."""
        whole = (each for each in self.measured if each.through is None)
        return tuple(sound_of(each, f"{self.revision.chain}") for each in whole)


@dataclass(frozen=True)
class TrackLine:
    """A track of the song: the chain behind it, its chosen takes, its microphone or DI box, what 48 V
    is to its input, and the converter that it is recorded through."""

    chain: ChainSheet
    takes: tuple[ChosenTake, ...]
    input: StageSheet | None
    phantom: str
    converter: StageSheet | None = None

    @property
    def fed_with_phantom_at(self) -> str:
        """The input, by unit and channel, whose switch of phantom power serves it."""
        stages = (sheet.stage for sheet in self.chain.stages)
        found = (stage.facts.unit.tag for stage in stages if stage.controls_for(Meaning.PHANTOM))
        return next(found, f"chain {self.chain.number}")

    @property
    def channel_is_missing(self) -> bool:
        """Nobody logged which of the converter's channels it is."""
        stage = self.converter and self.converter.stage
        return bool(stage and not stage.channel and stage.unit.model.channels > 1)

    @property
    def passes(self) -> "list[tuple[ChosenTake, ...]]":
        return together(self.takes)


@dataclass(frozen=True)
class RecallSheet:
    """Of a song, or of one `part`; `tracks` to `photos` concern the whole of it, `undocumented`
    are takes without a chain, `comps` say which lines come from which take. `people` and `contact` are
    whom to ask."""

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
    shared: tuple[Shared, ...]
    headphones: tuple[HeadphoneSheet, ...]
    groups: tuple[Drawing, ...]
    photos: tuple[ShownPhoto, ...]
    engraved: tuple[EngravedPanel, ...]
    people: tuple[SessionPeople, ...]
    contact: Contact | None

    @property
    def take_lines(self) -> tuple[TakeLine, ...]:
        return take_lines(self.takes)

    @property
    def undocumented_passes(self) -> list[tuple[ChosenTake, ...]]:
        return together(self.undocumented)

    @property
    def not_settled(self) -> list[tuple[str, str]]:
        """Takes that may have gone through more than the sheet has, each once, and what that is."""
        takes = {f"{each.part.take}": each.not_settled for each in self.takes}
        return [(take, "; ".join(chains)) for take, chains in takes.items() if chains]

    @property
    def units_by_kind(self) -> str:
        return units_by_kind(self.units)

    @property
    def phantom_by_input(self) -> list[tuple[str, list[str]]]:
        """What 48 V is to them, and the inputs, or the chains that go through none; with the chain where
        an input was used for several at different times, and it is not the same to them."""
        asking = [track for track in self.tracks if track.phantom]
        said = defaultdict(set)
        for track in asking:
            said[track.fed_with_phantom_at].add(track.phantom)
        found = defaultdict(dict)
        for track in asking:
            at = track.fed_with_phantom_at
            label = at if len(said[at]) == 1 else f"{at} (chain {track.chain.number})"
            found[track.phantom][label] = None
        return [(words, list(inputs)) for words, inputs in found.items()]

    @property
    def out_of_service(self) -> list[NeededUnit]:
        return [each for each in self.units if not each.is_in_service]

    @property
    def cords(self) -> list[CordCount]:
        return cord_counts(self.patch.cords)

    @property
    def cables(self) -> list[CordCount]:
        """Direct ones, not through a bay."""
        return cord_counts(self.patch.direct)

    @property
    def first_on(self) -> list[NeededUnit]:
        """What must be on for a while before it is used."""
        return [each for each in self.units if each.warm_up_minutes and each.has_a_switch]

    @property
    def run_on(self) -> frozenset[int]:
        return run_on(self.chains)


def recall_sheet(subject: Song | Part) -> RecallSheet:
    """In a constant number of queries, if the song is loaded with project and client."""
    part = subject if isinstance(subject, Part) else None
    song = part.song if part else subject
    parts = subject.take_parts if part else TakePart.objects.filter(take__song=song)
    chosen = tuple(map(chosen_take, loaded_parts(parts)))
    used = defaultdict(list)
    for each in chosen:
        for through in each.through:
            used[through.revision_id].append(each)
    revisions = list(_revisions(used))
    read_on = _read_on(revisions)
    wiring = load_wiring()
    patch, plugs = song_patch(revisions, wiring)
    chains = tuple(
        _chain_sheet(
            chain,
            takes=used[chain.revision.pk],
            all_revisions=revisions,
            cord_numbers=patch.numbers,
            read_on=read_on.get((chain.revision.chain_id, chain.revision.readings_from)),
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
        people=people_of(
            [
                *(each.part.take.session for each in chosen),
                *(revision.chain.setup.session for revision in revisions),
            ]
        ),
        contact=our_contact(),
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
    people: tuple[SessionPeople, ...] = (),
    contact: Contact | None = None,
) -> RecallSheet:
    """What the sheet says as a whole, from its takes and chains. No query if they are loaded."""
    used = defaultdict(list)
    for each in takes:
        for through in each.through:
            used[through.revision_id].append(each)
    revisions = [chain.revision for chain in chains]
    numbered = [(chain.number, chain.revision) for chain in chains]
    return RecallSheet(
        song=song,
        part=part,
        facts=(*song_facts(song), *clock_and_click(revisions), *recorded_otherwise(revisions)),
        takes=takes,
        chains=chains,
        tracks=tuple(_track(chain, used[chain.revision.pk], revisions) for chain in chains),
        undocumented=tuple(each for each in takes if not each.through),
        comps=comps,
        no_signal=tuple(no_signal(_at_a_time(takes, revisions), wiring)),
        cautions=tuple(setup_cautions(revisions)),
        units=tuple(needed_units(numbered)),
        patch=patch,
        shared=tuple(shared_things(numbered, patch)),
        headphones=headphones,
        groups=tuple(_group_drawings(revisions)),
        photos=photos,
        engraved=engraved_panels(revisions),
        people=people,
        contact=contact,
    )


def _at_a_time(
    takes: Iterable[ChosenTake], revisions: Iterable[Revision]
) -> Iterator[list[Revision]]:
    """The chains of each chosen take, and each by itself."""
    revisions = list(revisions)
    through = ((each.part.take_id, one.revision_id) for each in takes for one in each.through)
    yield from of_each_take(through, revisions)
    yield from ([revision] for revision in revisions)


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


def _revisions(keys: Iterable[int]):
    return (
        Revision.objects.filter(pk__in=list(keys))
        .with_stages()
        .prefetch_related("measurements__measured_by")
        .order_by(
            "chain__setup__session__starts_at",
            "chain__setup__position",
            "chain__setup_id",
            "chain__position",
            "chain_id",
            "number",
        )
    )


def _read_on(revisions: list[Revision]) -> dict[tuple[int, int], Revision]:
    """By chain and number the revisions on which levels were read that later ones go by."""
    wanted = {
        (revision.chain_id, revision.readings_from)
        for revision in revisions
        if revision.readings_from not in (None, revision.number)
    }
    if not wanted:
        return {}
    each = (Q(chain=chain, number=number) for chain, number in sorted(wanted))
    found = Revision.objects.filter(reduce(or_, each)).with_stages()
    return {(revision.chain_id, revision.number): revision for revision in found}


def _chain_sheet(
    plugs: ChainPlugs,
    *,
    takes: list[ChosenTake],
    all_revisions: list[Revision],
    cord_numbers: Mapping[CordKey, int],
    read_on: Revision | None,
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
        since_reading=compare(read_on, revision) if read_on else None,
        measured=measured_of_revision(revision, partial(digest_through, revision)),
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
    printed = [sheet for sheet in chain.stages if sheet.stage.is_printed]
    return TrackLine(
        chain,
        tuple(chosen),
        next((sheet for sheet in chain.stages if sheet.stage.unit.model.category in HEARS), None),
        phantom_words(chain.revision, revisions),
        next((sheet for sheet in printed[::-1] if _is_converter(sheet)), None),
    )


def _is_converter(sheet: StageSheet) -> bool:
    return sheet.stage.unit.model.category == Category.CONVERTER
