"""What the sessions that are over, or under way, recorded."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import timedelta

from django.db import transaction
from django.db.models import Count, Max

from sessions.bookings.models import RecordingSession, Status
from sessions.setups.chains.actions import open_revision
from sessions.setups.headphones.models import MixSnapshot
from sessions.setups.models import Revision, Setup
from sessions.songs.models import Part
from sessions.takes.actions import log_take
from sessions.takes.models import CompChoice, Mark, Take, TakeKind, TakePart, TakeRevision
from tests.measure.fill.calendar import SESSIONS_EACH, Calendar
from tests.measure.fill.chains import copy_setup, set_up
from tests.measure.fill.house import Booth, House
from tests.measure.fill.songs import SONGS, Written, deliver, write_songs

AT_ONCE = 200  # sessions
MARKS = (  # by the number of a part's takes
    *(Mark.COMPLETE, Mark.FALSE_START, Mark.COMPLETE, Mark.BREAKDOWN),
    *(Mark.HOLD, Mark.NO_GOOD, Mark.COMPLETE, Mark.LONG_FALSE_START),
)
MASTER, CHOSEN = 4, (4, 12)  # of a part's takes; each of the chosen gives a section of the comp

Work = tuple[RecordingSession, Written]


def record(house: House, calendar: Calendar, takes: int) -> None:
    """So many takes in all. Each room's first session is recorded by the studio's own actions, and
    the others are set up as that one was."""
    songs = write_songs(calendar.projects, len(house.booths[0].chains))
    rooms = [(booth, works) for booth in house.booths if (works := _works(booth, songs))]
    setups = [_first(works[0], booth, by=house.manager) for booth, works in rooms]
    others = sum(len(works) - 1 for _, works in rooms)
    shares = _shares(takes - Take.objects.count(), others)
    for setup, (_, works) in zip(setups, rooms, strict=True):
        for first in range(1, len(works), AT_ONCE):
            _likewise(setup, works[first : first + AT_ONCE], shares)
    deliver({song.song: None for _, works in rooms for _, song in works}, by=house.manager)


def _works(booth: Booth, songs: dict[int, list[Written]]) -> list[Work]:
    """The sessions in the room at which something was recorded, the first one first, each with the
    song that its project had come to."""
    done = RecordingSession.objects.filter(
        reservations__room=booth.room, status__in=[Status.WRAPPED, Status.UNDER_WAY]
    )
    so_far = Counter()
    works = []
    for session in done.order_by("starts_at"):
        number = so_far[session.project_id] * SONGS // SESSIONS_EACH
        works.append((session, songs[session.project_id][number]))
        so_far[session.project_id] += 1
    return works


@transaction.atomic
def _first(work: Work, booth: Booth, *, by) -> Setup:
    """A take of every part; then the first chain is changed, and its part recorded once more."""
    session, song = work
    session.status = Status.UNDER_WAY  # as it was then; it is not saved
    setup = set_up(session, song.parts, booth, by=by)
    for part in song.parts:
        log_take(part, session=session, setup=setup, at=session.starts_at)
    revision = open_revision(setup.chains.first(), by=by)
    revision.stages.update(note="Less of it.")
    log_take(song.parts[0], session=session, setup=setup, at=session.ends_at)
    return setup


def _shares(takes: int, sessions: int) -> Iterator[int]:
    """How many takes each of the sessions has."""
    for number in range(sessions):
        yield max(0, takes * (number + 1) // sessions - takes * number // sessions)


@transaction.atomic
def _likewise(setup: Setup, works: Sequence[Work], shares: Iterator[int]) -> None:
    new = copy_setup(setup, [session for session, _ in works], [song.parts for _, song in works])
    heard = new[MixSnapshot].popitem()[1]
    numbers = _numbers(works)
    so_far = Counter({part: sum(c <= n for c in CHOSEN) for part, n in numbers["part"].items()})
    made = [
        (part, revision, heard[n])
        for n, (session, song) in enumerate(works)
        for part, revision in _takes(
            session, song, next(shares), _through(new, n, song.parts), numbers
        )
    ]
    for kind in (TakeKind.WHOLE, TakeKind.PUNCH_IN):  # which go into whole ones
        Take.objects.bulk_create(part.take for part, _, _ in made if part.take.kind == kind)
    TakePart.objects.bulk_create(part for part, _, _ in made)
    TakeRevision.objects.bulk_create(
        TakeRevision(take=part.take, revision=revision, heard=mixes)
        for part, revision, mixes in made
    )
    sections = {part.pk: song.sections for _, song in works for part in song.parts}
    chosen = []
    for part, _, _ in made:
        if part.circled:
            section = sections[part.part_id][so_far[part.part_id]]
            chosen.append(CompChoice(part_id=part.part_id, section=section, take=part.take))
            so_far[part.part_id] += 1
    CompChoice.objects.bulk_create(chosen)


def _numbers(works: Iterable[Work]) -> dict:
    """The highest number of takes so far, by song and by part."""
    songs = {song.song.pk for _, song in works}
    takes = Take.objects.filter(song__in=songs).order_by()
    of_songs = takes.values_list("song").annotate(Max("number"))
    of_parts = takes.values_list("parts").annotate(Count("pk"))
    return {"song": Counter(dict(of_songs)), "part": Counter(dict(of_parts))}


def _through(new: dict, n: int, parts: Sequence[Part]) -> dict[int, list[Revision]]:
    """The revisions by which the nth copy recorded each part, the older one first."""
    through = {}
    for revision in (copies[n] for copies in new[Revision].values()):
        through.setdefault(parts[revision.chain.position - 1].pk, []).append(revision)
    return through


def _takes(
    session: RecordingSession, song: Written, count: int, through: dict, numbers: dict
) -> Iterator[tuple[TakePart, Revision]]:
    """The parts in turn; a chain that was changed was so half-way through the session."""
    whole = {}
    for k in range(count):
        part = song.parts[k % len(song.parts)]
        numbers["song"][song.song.pk] += 1
        numbers["part"][part.pk] += 1
        number = numbers["part"][part.pk]
        began = session.starts_at + timedelta(seconds=k * 14_000 / count)
        take = Take(
            song_id=song.song.pk,
            session_id=session.pk,
            number=numbers["song"][song.song.pk],
            logged_at=began,
            started_at=began,
            ended_at=began + timedelta(seconds=90),
        )
        if number % 4 == 3 and part.pk in whole:
            take.kind, take.into = TakeKind.PUNCH_IN, whole[part.pk]
            take.punch_in, take.punch_out = "bar 17", "bar 25"
        else:
            whole[part.pk] = take
        made = TakePart(
            take=take,
            part_id=part.pk,
            mark=Mark.MASTER if number == MASTER else MARKS[number % len(MARKS)],
            grade=number % 5 + 1,
            circled=number in CHOSEN,
        )
        yield made, through[part.pk][0 if 2 * k < count else -1]
