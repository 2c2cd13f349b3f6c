"""Pages of takes with a million of them in the database: against the same pages with a hundredth of
them there, and against the bare SQL of each."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from time import perf_counter, process_time

from django.db import connection
from django.urls import reverse

from sessions.bookings.models import RecordingSession
from sessions.clients.models import Project
from sessions.songs.models import Part, Song
from sessions.takes.actions import log_take
from sessions.takes.models import Mark, Take
from tests.factories import (
    LyricLineFactory,
    PartFactory,
    RecordingSessionFactory,
    SectionFactory,
    SongFactory,
)
from tests.measure.asking import bare, page, queries
from tests.measure.booking import vacuum
from tests.measure.fill.calendar import SESSIONS_EACH, Calendar
from tests.measure.fill.chains import set_up
from tests.measure.fill.house import House, furnish
from tests.measure.fill.many_takes import Logged, log_many, logged
from tests.measure.fill.rows import write_histories
from tests.measure.fill.songs import SONGS, write_songs
from tests.measure.timing import Ratio, interleaved, passed
from tests.measure.two_databases import another_database

HUNDREDTH, TIMES = 100, 1.3
CHAINS, LINES, COLUMNS = 12, 60, 40  # of a band; of a comp sheet
EACH = 250  # takes of a song, unless it is one of very many
MANY = 3  # per cent of all takes are one session's, of one song: a number has its limit
LATEST = 30_000
A_PAGE = 100  # takes at least, so that at a hundredth the first page is full, too

Pages = dict[str, Callable[[], None]]


@dataclass(frozen=True)
class Asked:
    """Queries of a page, at few and at many takes."""

    page: str
    few: int
    many: int

    @property
    def holds(self) -> bool:
        return self.few == self.many

    def __str__(self) -> str:
        return f"queries of the {self.page}: {self.few} and {self.many}: {passed(self.holds)}"


def measure(takes: int, rounds: int) -> Iterator[Ratio | Asked]:
    with another_database() as other:
        few = {
            name: other.of(work)
            for name, work in other.of(lambda: filled(takes // HUNDREDTH))().items()
        }
        many = filled(takes)
        works = {}
        for name, work in many.items():
            works[f"{name}, a hundredth"] = few[name]
            works[name] = work
            works[f"{name}, bare SQL"] = bare(queries(work))
        # On SQLite all of the work is this process's: what else the machine does is no part of it.
        clock = process_time if connection.vendor == "sqlite" else perf_counter
        times = interleaved(works, rounds, clock)
        for name, work in many.items():
            yield Ratio.of(times, name, f"{name}, a hundredth", TIMES)
            yield Ratio.of(times, name, f"{name}, bare SQL", None)
            yield Asked(
                name, len(other.of(lambda name=name: queries(few[name]))()), len(queries(work))
            )


def filled(takes: int) -> Pages:
    """A house of so many takes, and the pages that show some of them."""
    house = furnish(rooms=1, chains=CHAINS)
    band, session = recorded_band(house)
    like = Take.objects.get(song=band[0].song, number=1)
    choir, at_length = sung_for_weeks(max(A_PAGE, min(MANY * takes // 100, LATEST)), like)
    elsewhere = takes - Take.objects.count()
    calendar = Calendar(house)
    calendar.book(max(SESSIONS_EACH, elsewhere // EACH))
    sing_elsewhere(calendar.projects, elsewhere, like)
    write_histories(by=house.manager)
    vacuum()

    def shown(name: str, thing, shows, **query) -> Callable[[], None]:
        return page(house.manager, reverse(name, args=[thing.pk]), str(shows), **query)

    song = band[0].song
    asked = {"song": song.pk, "setup": session.setups.get().pk}
    return {
        "tracking page": shown("takes:session", session, song),
        "tracking page, very many": shown("takes:session", at_length, choir.song),
        "what it asks when something changed": shown("takes:live", session, song, **asked),
        "takes of a session": shown("takes:session_list", session, song),
        "takes of a session, very many": shown("takes:session_list", at_length, choir.song),
        "takes of a song": shown("takes:song_list", song, song),
        "takes of a song, very many": shown("takes:song_list", choir.song, choir.song),
        "comp sheet": shown("comp:sheet", band[0], band[0]),
        "comp sheet, very many": shown("comp:sheet", choir, choir),
    }


def recorded_band(house: House) -> tuple[list[Part], RecordingSession]:
    """Twelve parts through a chain each: forty takes of the first, the last of them of all."""
    session = RecordingSessionFactory()
    song = _written(session, "Seven Bells Round", LINES)
    parts = [PartFactory(song=song, name=f"Voice {n}", position=n) for n in range(1, CHAINS + 1)]
    setup = set_up(session, parts, house.booths[0], by=house.manager)
    first = log_take(parts[0], session=session, setup=setup, mark=Mark.COMPLETE)
    log_many(first, logged(song, session, parts[0], count=COLUMNS - 2, first=2))
    log_take(*parts, session=session, setup=setup, mark=Mark.COMPLETE)
    return parts, session


def sung_for_weeks(takes: int, like: Take) -> tuple[Part, RecordingSession]:
    """One part of one song, in one session."""
    session = RecordingSessionFactory()
    part = PartFactory(song=_written(session, "Neap and Spring", LINES), name="Choir")
    log_many(like, logged(part.song, session, part, count=takes))
    return part, session


def _written(session: RecordingSession, title: str, lines: int) -> Song:
    song = SongFactory(project=session.project, title=title)
    section = SectionFactory(song=song, first_bar=1)
    for n in range(lines):
        LyricLineFactory(section=section, position=n, text=f"Line {n + 1}")
    return song


def sing_elsewhere(projects: Sequence[Project], takes: int, like: Take) -> None:
    """So many takes over all sessions of these projects, in songs of their own."""
    songs = write_songs(projects, 1)
    works = []
    for session in RecordingSession.objects.filter(project__in=songs).order_by("pk"):
        works += [(session, songs[session.project_id][len(works) % SONGS])]
    log_many(like, _everywhere(works, takes))


def _everywhere(works, takes: int) -> Iterator[Logged]:
    numbers = {}
    for n, (session, song) in enumerate(works):
        count = takes * (n + 1) // len(works) - takes * n // len(works)
        first = numbers.get(song.song.pk, 1)
        numbers[song.song.pk] = first + count
        yield from logged(song.song, session, song.parts[0], count=count, first=first)
