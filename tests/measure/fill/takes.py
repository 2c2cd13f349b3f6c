"""What the sessions that are over, or under way, recorded."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import timedelta

from django.db import transaction
from django.db.models import Max

from sessions.bookings.models import RecordingSession, Status
from sessions.setups.chains.actions import open_revision
from sessions.setups.headphones.models import MixSnapshot
from sessions.setups.models import Revision, Setup
from sessions.takes.actions import log_take
from sessions.takes.models import CompChoice, Mark, Take, TakeKind, TakeRevision
from tests.measure.fill.calendar import SESSIONS_EACH, Calendar
from tests.measure.fill.chains import copy_setup, set_up
from tests.measure.fill.house import Booth, House
from tests.measure.fill.songs import SONGS, Written, deliver, write_songs

AT_ONCE = 200  # sessions
MARKS = (  # by a take's number
    *(Mark.COMPLETE, Mark.FALSE_START, Mark.COMPLETE, Mark.BREAKDOWN),
    *(Mark.HOLD, Mark.NO_GOOD, Mark.COMPLETE, Mark.LONG_FALSE_START),
)
MASTER, CHOSEN = 4, (4, 12)  # numbers of takes; each of the chosen gives a section of the comp

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
    made = [
        (take, revision, heard[n])
        for n, (session, song) in enumerate(works)
        for take, revision in _takes(session, song, next(shares), _through(new, n), numbers)
    ]
    Take.objects.bulk_create(take for take, _, _ in made)
    TakeRevision.objects.bulk_create(
        TakeRevision(take=take, revision=revision, heard=mixes) for take, revision, mixes in made
    )
    sections = {part.pk: song.sections for _, song in works for part in song.parts}
    CompChoice.objects.bulk_create(
        CompChoice(
            part_id=take.part_id,
            section=sections[take.part_id][CHOSEN.index(take.number)],
            take=take,
        )
        for take, _, _ in made
        if take.number in CHOSEN
    )


def _numbers(works: Iterable[Work]) -> Counter:
    """By the key of a part: the highest number of its takes."""
    songs = {song.song.pk for _, song in works}
    highest = Take.objects.filter(song__in=songs).values_list("part").annotate(Max("number"))
    return Counter(dict(highest))


def _through(new: dict, n: int) -> dict[int, list[Revision]]:
    """The revisions by which the nth copy recorded each part, the older one first."""
    through = {}
    for revision in (copies[n] for copies in new[Revision].values()):
        through.setdefault(revision.chain.part_id, []).append(revision)
    return through


def _takes(
    session: RecordingSession, song: Written, count: int, through: dict, numbers: Counter
) -> Iterator[tuple[Take, Revision]]:
    """The parts in turn; a chain that was changed was so half-way through the session."""
    for k in range(count):
        part = song.parts[k % len(song.parts)]
        numbers[part.pk] += 1
        number = numbers[part.pk]
        began = session.starts_at + timedelta(seconds=k * 14_000 / count)
        punched = {"kind": TakeKind.PUNCH_IN, "punch_in": "bar 17", "punch_out": "bar 25"}
        take = Take(
            song_id=song.song.pk,
            part_id=part.pk,
            session_id=session.pk,
            number=number,
            logged_at=began,
            started_at=began,
            ended_at=began + timedelta(seconds=90),
            mark=Mark.MASTER if number == MASTER else MARKS[number % len(MARKS)],
            grade=number % 5 + 1,
            circled=number in CHOSEN,
            **(punched if number % 4 == 3 else {}),
        )
        yield take, through[part.pk][0 if 2 * k < count else -1]
