"""The report of a session: who, when, with what, what was recorded, and what is left to do."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta

from django.db.models import Prefetch

from gear.equipment.models import Fault
from gear.patchbay.wiring import Wiring, load_wiring
from sessions.bookings.models import Credit, RecordingSession, Reservation, WorkedHours
from sessions.bookings.musicians.lines import MusicianLine, musicians_of
from sessions.deliverables.models import Deliverable
from sessions.periods import duration_in_words
from sessions.reports.left_to_do import faults_left, left_in_songs, owed_for
from sessions.reports.signed_off import SignedOff, signed_off
from sessions.setups.chains.summary import Completeness, completeness, path_in_words
from sessions.setups.grouping.sections import in_sections
from sessions.setups.headphones.listening import HeardMix, mixes_of
from sessions.setups.models import GroupFacts, Revision, Setup
from sessions.setups.patching.plugs import PlugList
from sessions.setups.patching.together import PatchedTogether, patched_together
from sessions.setups.warnings.no_signal import no_signal, of_each_take
from sessions.setups.warnings.warning import Warning
from sessions.songs.models import Part, Song
from sessions.takes.comp.lines import Comp, comps_of
from sessions.takes.models import CompChoice, TakePart, TakeRevision


@dataclass(frozen=True)
class TakeLine:
    part: TakePart
    through: tuple[TakeRevision, ...]


@dataclass(frozen=True)
class PartWork:
    """A part that was set up or recorded; without takes it was only set up."""

    part: Part
    takes: tuple[TakeLine, ...]


@dataclass(frozen=True)
class SongWork:
    song: Song
    parts: tuple[PartWork, ...]


@dataclass(frozen=True)
class RevisionLine:
    """One revision of a chain: its path in words, and the takes recorded through it."""

    revision: Revision
    path: str
    completeness: Completeness
    takes: tuple[TakePart, ...]

    @property
    def takes_by_song(self) -> list[tuple[Song, list[int]]]:
        """The numbers, each once however many parts were recorded through it."""
        numbers = defaultdict(set)
        for each in self.takes:
            numbers[each.take.song].add(each.take.number)
        return [(song, sorted(numbers[song])) for song in sorted(numbers, key=str)]


@dataclass(frozen=True)
class SetupLine:
    """A setup with all revisions of its chains, by pair and group, and how its chains as they stood last
    were patched: a list for each lot of them that stood together."""

    setup: Setup
    sections: tuple[tuple[GroupFacts | None, tuple[RevisionLine, ...]], ...]
    patched: tuple[PlugList, ...]
    headphones: tuple[HeardMix, ...]


@dataclass(frozen=True)
class SessionReport:
    session: RecordingSession
    facts: tuple[tuple[str, str], ...]
    rooms: tuple[Reservation, ...]
    people: tuple[Reservation, ...]
    units: tuple[Reservation, ...]
    credits: tuple[Credit, ...]
    musicians: tuple[MusicianLine, ...]
    songs: tuple[SongWork, ...]
    comps: tuple[Comp, ...]
    setups: tuple[SetupLine, ...]
    no_signal: tuple[Warning, ...]
    faults: tuple[Fault, ...]
    deliverables: tuple[Deliverable, ...]
    owed: tuple[str, ...]
    left_in_songs: tuple[str, ...]
    signed_off: tuple[SignedOff, ...]
    for_the_house: bool

    @property
    def left_to_do(self) -> tuple[str, ...]:
        return (*self.left_in_songs, *faults_left(self.faults))


def session_report(session: RecordingSession, *, for_the_house: bool = False) -> SessionReport:
    """In a constant number of queries, if the session is loaded with project and client.

    Faults of the equipment, and when musicians came and went, are told to the house only.
    """
    takes = list(_takes(session))
    revisions = list(_revisions(session))
    used = defaultdict(list)
    for each in takes:
        for through in each.through():
            used[through.revision_id].append(each)
    reserved = list(Reservation.objects.filter(session=session).standing().for_list())
    songs, wiring = _songs(takes, revisions), load_wiring()
    faults = tuple(session.faults.for_list()) if for_the_house else ()
    worked_on = [work.song for work in songs]
    comps = comps_of(CompChoice.objects.filter(part__song__in=worked_on))
    recorded = {each.part for each in takes}
    return SessionReport(
        session=session,
        facts=tuple(session_facts(session)),
        rooms=tuple(each for each in reserved if each.room_id),
        people=tuple(each for each in reserved if each.person_id),
        units=tuple(each for each in reserved if each.unit_id),
        credits=tuple(Credit.objects.filter(session=session).for_list()),
        musicians=_musicians(session) if for_the_house else (),
        songs=songs,
        comps=tuple(comp for comp in comps if comp.part in recorded),
        setups=_setups(session, revisions, used, wiring),
        no_signal=tuple(no_signal(_at_a_time(takes, revisions), wiring)),
        faults=faults,
        deliverables=_deliverables_since(session, worked_on),
        owed=tuple(owed_for(worked_on, session.project.ordered)),
        left_in_songs=tuple(left_in_songs(worked_on, takes, comps)),
        signed_off=signed_off(session),
        for_the_house=for_the_house,
    )


def _musicians(session: RecordingSession) -> tuple[MusicianLine, ...]:
    """Those whose times were kept. One query where none were."""
    if not session.attendances.filter(came_at__isnull=False).exists():
        return ()
    lines = musicians_of(session)
    return tuple(line for line in lines if any(each.came_at for each in line.attendances))


def session_facts(session: RecordingSession) -> list[tuple[str, str]]:
    project = session.project
    return [
        ("Project", project.name),
        ("Artist", project.artist),
        ("Client", f"{project.client}"),
        ("Period", session.period_in_words),
        ("Hours", session.duration_in_words),
        *_worked(session),
        ("Status", session.get_status_display().lower()),
        ("Format", f"{project.get_sample_rate_display()}, {project.get_bit_depth_display()}"),
    ]


def _worked(session: RecordingSession) -> list[tuple[str, str]]:
    """The hours that were worked, where somebody wrote them down; one query."""
    worked = list(session.worked_hours.filter(kind=WorkedHours.Kind.ACTUAL))
    if not worked:
        return []
    total = sum((hours.ends_at - hours.starts_at for hours in worked), timedelta())
    return [("Worked", f"{'; '.join(map(str, worked))}: {duration_in_words(total)}")]


def _takes(session: RecordingSession):
    return (
        TakePart.objects.filter(take__session=session)
        .in_order()
        .select_related("part__song", "take__song", "take__into")
        .prefetch_related(Prefetch("take__through", TakeRevision.objects.for_list()))
    )


def _revisions(session: RecordingSession):
    """All of the session's chains, in the order of the day."""
    return (
        Revision.objects.filter(chain__setup__session=session)
        .with_stages()
        .order_by("chain__setup__position", "chain__setup", "chain__position", "chain", "number")
    )


def _songs(takes: Iterable[TakePart], revisions: Iterable[Revision]) -> tuple[SongWork, ...]:
    lines = {part: [] for revision in revisions for part in revision.chain.parts.all()}
    for take in takes:
        lines.setdefault(take.part, []).append(TakeLine(take, tuple(take.through())))
    songs = defaultdict(list)
    for part in sorted(lines, key=lambda part: (part.position, part.name)):
        songs[part.song].append(PartWork(part, tuple(lines[part])))
    return tuple(
        SongWork(song, tuple(songs[song])) for song in sorted(songs, key=lambda song: song.title)
    )


def _at_a_time(
    takes: Iterable[TakePart], revisions: Iterable[Revision]
) -> Iterator[list[Revision]]:
    """The chains of each take; those of each setup that still stand; each that was recorded, by itself."""
    revisions, standing = list(revisions), defaultdict(dict)
    through = ((take.take_id, one.revision_id) for take in takes for one in take.through())
    yield from of_each_take(through, revisions)
    for revision in revisions:
        if revision.chain.struck_at is None:
            standing[revision.chain.setup_id][revision.chain_id] = revision
    yield from (list(some.values()) for some in standing.values())
    yield from ([revision] for revision in revisions if revision.is_fixed)


def _setups(session, revisions, used, wiring: Wiring) -> tuple[SetupLine, ...]:
    ours = defaultdict(list)
    for revision in revisions:
        ours[revision.chain.setup_id].append(revision)
    newest = {revision.chain_id: revision for revision in revisions}  # in the order of numbers
    lots = patched_together(newest.values(), wiring)
    setups = Setup.objects.filter(session=session)
    mixes = mixes_of(setups)
    return tuple(
        SetupLine(
            setup,
            tuple(
                (facts, tuple(_line(each, used) for each in section))
                for facts, section in in_sections(ours[setup.pk])
            ),
            tuple(_patched(setup, lots)),
            tuple(mixes[setup.pk]),
        )
        for setup in setups
    )


def _line(revision: Revision, used) -> RevisionLine:
    return RevisionLine(
        revision, path_in_words(revision), completeness(revision), tuple(used[revision.pk])
    )


def _patched(setup: Setup, lots: Iterable[PatchedTogether]) -> Iterator[PlugList]:
    for lot in lots:
        patching = lot.patching.of_setup(setup)
        if patching.patch_list.is_at_bay:
            yield patching.plugs


def _deliverables_since(session: RecordingSession, songs: list[Song]) -> tuple[Deliverable, ...]:
    """What was made for the session's songs from its start on, the oldest first."""
    made = Deliverable.objects.filter(song__in=songs, created_at__gte=session.starts_at)
    return tuple(made.for_list().order_by("created_at"))
