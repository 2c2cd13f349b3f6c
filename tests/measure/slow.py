"""Ten people at work behind the shipped proxy, alone and beside clients that are slow or hang."""

import os
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import cycle, islice
from pathlib import Path
from statistics import median, quantiles

from django.conf import settings
from django.db import connection
from django.test import override_settings
from django.urls import reverse

from tests.factories import PASSWORD, DeliverableFileFactory
from tests.measure.fill.house import furnish
from tests.measure.takes import recorded_band
from tests.measure.timing import passed
from tests.served.proxy import BEHIND, NAME, make_certificate, proxy_before
from tests.served.serving import Served
from tests.served.slow import slow_clients

PEOPLE, GOAL_SECONDS = 10, 1.0
PAUSE_SECONDS = 2.0  # between two pages of one person: they read
WARM_UP_SECONDS, TURNS = 5, 3
SOUND_BYTES = 64 << 20


@dataclass(frozen=True)
class Waited:
    who: str
    seconds: list[float]

    @property
    def p99(self) -> float:
        return quantiles(self.seconds, n=100, method="inclusive")[-1]

    @property
    def holds(self) -> bool:
        return self.p99 < GOAL_SECONDS

    def __str__(self) -> str:
        return (
            f"{self.who}: {len(self.seconds)} pages, median {median(self.seconds) * 1e3:.0f} ms, "
            f"p99 {self.p99 * 1e3:.0f} ms, at most {GOAL_SECONDS:g} s: {passed(self.holds)}"
        )


def measure(clients: int, seconds: float) -> Iterator[Waited]:
    folder = Path(settings.DATA_DIR)
    with override_settings(MEDIA_ROOT=folder / "data" / "files"):
        pages, download = furnished()
    connection.close()
    as_here = {"DJANGO_SETTINGS_MODULE": os.environ["DJANGO_SETTINGS_MODULE"]}
    studio = Served(folder, os.environ["DATABASE_URL"], workers=2, **BEHIND, **as_here)
    try:
        with proxy_before(studio, make_certificate(folder / "certificate"), folder):
            asked = {"Host": NAME, "Referer": f"https://{NAME}/sign-in/"}
            studio.ask("/sign-in/", **asked)
            studio.ask("/sign-in/", {"username": "odile", "password": PASSWORD}, **asked)
            at_work(studio, pages, WARM_UP_SECONDS)
            alone, beside = [], []
            for _ in range(TURNS):  # so that a busy moment of the machine hits both alike
                alone += at_work(studio, pages, seconds / TURNS)
                with slow_clients(studio, clients, download=download):
                    beside += at_work(studio, pages, seconds / TURNS)
    finally:
        studio.stop()
    yield Waited(f"{PEOPLE} people", alone)
    yield Waited(f"beside {clients} slow ones", beside)


def furnished() -> tuple[list[str], str]:
    """Addresses of pages that somebody at work asks for, and of a large file."""
    band, session = recorded_band(furnish(rooms=1))
    song = band[0].song
    file = DeliverableFileFactory(deliverable__song=song, file__data=bytes(SOUND_BYTES))
    pages = [
        reverse("home"),
        reverse("takes:session", args=[session.pk]),
        reverse("deliverables:list", args=[song.pk]),
        reverse("songs:list"),
    ]
    return pages, reverse("deliverables:download", args=[file.pk])


def at_work(studio: Served, pages: list[str], seconds: float) -> list[float]:
    """How long each page took that somebody asked for, reading each for a while."""
    until = time.monotonic() + seconds

    def work(number: int) -> list[float]:
        took = []
        time.sleep(PAUSE_SECONDS * number / PEOPLE)
        for page in islice(cycle(pages), number, None):
            if time.monotonic() > until:
                break
            began = time.monotonic()
            answer = studio.ask(page, Host=NAME)
            took.append(time.monotonic() - began)
            if answer.status != 200:
                raise RuntimeError(f"{page} was answered {answer.status}")
            time.sleep(PAUSE_SECONDS)
        return took

    with ThreadPoolExecutor(PEOPLE) as people:
        return [each for took in people.map(work, range(PEOPLE)) for each in took]
