"""Finding among thousands of songs, whose texts are made up here: against the list of songs, and
against the bare SQL of it. How long the texts of recorded songs take to be made is said, too."""

import random
from collections.abc import Callable, Iterator
from datetime import timedelta
from itertools import accumulate
from time import perf_counter, process_time

from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.recall.finding.models import SearchText, Sought
from sessions.recall.finding.texts import song_texts
from sessions.songs.models import Part, Song
from tests.factories import PartFactory, PersonFactory, ProjectFactory, SongFactory, UnitFactory
from tests.measure.asking import bare, queries
from tests.measure.booking import vacuum
from tests.measure.fill.house import furnish
from tests.measure.recall import recorded_song
from tests.measure.timing import Ratio, interleaved

COST = 4  # times the page of all songs that somebody may see
SONGS_EACH, PEOPLE, UNITS = 3, 600, 250  # songs of a project; of a house that records thousands
DIFFERENT = 15_000  # words, the commonest of which stand in most songs
OF_SONG, OF_SESSION = 220, 90  # words of a text
ASKED = {
    "two words and a month": "wanted lantern nov",
    "one letter wrong": "wantde lantren",
    "what all songs have": "wanted",
    "nothing": "lantern xylophones",
}


def measure(songs: int, rounds: int) -> Iterator[Ratio | str]:
    house = furnish(rooms=1, chains=8)
    recorded = recorded_song(house, 8)
    began = process_time()
    song_texts([recorded.pk], timezone.now())
    yield f"the text of a song of 8 chains: {1e3 * (process_time() - began):.0f} ms to make"
    fill_songs(songs)
    vacuum()
    client = Client(SERVER_NAME="localhost")
    client.force_login(house.manager, backend="studio.backends.RoleBackend")
    works = {"songs": getting(client, reverse("songs:list"))}
    for name, asked in ASKED.items():
        works[name] = getting(client, reverse("find:search"), q=asked)
        works[f"{name}, bare SQL"] = bare(queries(works[name]))
    # On SQLite all of the work is this process's: what else the machine does is no part of it.
    clock = process_time if connection.vendor == "sqlite" else perf_counter
    times = interleaved(works, rounds, clock)
    for name in ASKED:
        yield Ratio.of(times, name, "songs", COST, f"{songs:,} songs")
        yield Ratio.of(times, name, f"{name}, bare SQL", None, f"{songs:,} songs")


def getting(client: Client, address: str, **query: str) -> Callable[[], None]:
    def get() -> None:
        answer = client.get(address, query)
        if answer.status_code != 200:
            raise RuntimeError(f"{address} answered {answer.status_code}.")

    return get


def fill_songs(count: int) -> None:
    """So many, a part and a session each, with texts like those of recorded ones."""
    chance = random.Random(1)
    words = [f"{_word(chance)}" for _ in range(DIFFERENT)]
    weights = list(accumulate(1 / (n + 1) for n in range(DIFFERENT)))
    for n in range(PEOPLE):
        PersonFactory(name=f"{words[n].title()} {words[-n].title()}")
    for n in range(UNITS):
        UnitFactory(note=words[n])
    projects = [ProjectFactory(name=f"Project {n}") for n in range(count // SONGS_EACH)]
    songs = Song.objects.bulk_create(
        SongFactory.build(project=projects[n % len(projects)], title=f"{words[n % 900]} {n}")
        for n in range(count)
    )
    Part.objects.bulk_create(PartFactory.build(song=song, name="Voice") for song in songs)
    now = timezone.now()
    sessions = RecordingSession.objects.bulk_create(
        RecordingSession(
            project=song.project,
            title=f"{song.title}, overdubs",
            starts_at=now - timedelta(days=n % 1500, hours=n % 9 + 1),
            ends_at=now - timedelta(days=n % 1500, hours=n % 9),
        )
        for n, song in enumerate(songs)
    )
    for kind, rows, length in (
        (Sought.SONG, songs, OF_SONG),
        (Sought.SESSION, sessions, OF_SESSION),
    ):
        SearchText.objects.bulk_create(
            SearchText(
                kind=kind,
                subject=row.pk,
                own=f" {row.title} #j{row.project_id} ",
                work=f" {' '.join(sorted(_said(chance, words, weights, length, n)))} ",
                days=(now - timedelta(days=n % 1500)).date().isoformat(),
                read_at=now,
            )
            for n, row in enumerate(rows)
        )


def _word(chance: random.Random) -> str:
    return "".join(
        chance.choice("bdfgklmnprst") + chance.choice("aeiou") for _ in range(chance.randint(2, 4))
    )


def _said(chance, words, weights, length: int, number: int) -> set[str]:
    """`wanted` stands in every one, `lantern` in one of ten."""
    said = set(chance.choices(words, cum_weights=weights, k=length)) | {"wanted"}
    return said | ({"lantern"} if number % 10 == 0 else set())
