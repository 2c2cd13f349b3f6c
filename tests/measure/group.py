"""How far one machine goes: pages a second with 1, 2 and 4 processes of the server, what a page costs of a
core, how long the slowest hundredth takes, and how many connections the database has to keep."""

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

from tests.factories import PASSWORD
from tests.measure.slow import furnished
from tests.served.serving import Served

PROCESSES = (1, 2, 4)
WARM_UP_SECONDS = 4
WRITES = 10  # one request in so many saves something
TICKS = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True)
class Carried:
    processes: int
    people: int
    seconds: list[float]  # of each page
    lasted: float
    core_seconds: float  # of the server
    connections: int | None

    def __str__(self) -> str:
        p99 = quantiles(self.seconds, n=100, method="inclusive")[-1]
        kept = "" if self.connections is None else f", {self.connections} connections"
        return (
            f"{self.processes} process{'es' * (self.processes > 1)}, {self.people} who ask without a pause: "
            f"{len(self.seconds) / self.lasted:.0f} pages/s, "
            f"{self.core_seconds / len(self.seconds) * 1e3:.0f} ms of a core each, "
            f"median {median(self.seconds) * 1e3:.0f} ms, p99 {p99 * 1e3:.0f} ms{kept}"
        )


def measure(seconds: float, people: int) -> Iterator[Carried]:
    folder = Path(settings.DATA_DIR)
    with override_settings(MEDIA_ROOT=folder / "data" / "files"):
        pages, _ = furnished()
    connection.close()
    for processes in PROCESSES:
        yield carried(folder, pages, processes, people, seconds)


def carried(folder: Path, pages: list[str], processes: int, people: int, seconds: float) -> Carried:
    as_here = {"DJANGO_SETTINGS_MODULE": os.environ["DJANGO_SETTINGS_MODULE"]}
    studio = Served(folder, os.environ["DATABASE_URL"], workers=processes, **as_here)
    try:
        studio.sign_in("odile", PASSWORD)
        ask_on(studio, pages, people, WARM_UP_SECONDS)
        before, began = core_seconds(studio), time.monotonic()
        took = ask_on(studio, pages, people, seconds)
        lasted = time.monotonic() - began
        return Carried(
            processes, people, took, lasted, core_seconds(studio) - before, connections()
        )
    finally:
        studio.stop()


def ask_on(studio: Served, pages: list[str], people: int, seconds: float) -> list[float]:
    until = time.monotonic() + seconds

    def work(number: int) -> list[float]:
        took = []
        for count, address in enumerate(islice(cycle(pages), number, None)):
            if time.monotonic() > until:
                return took
            facts = None if count % WRITES else {"theme": "dark"}
            began = time.monotonic()
            answer = studio.ask(reverse("theme") if facts else address, facts)
            took.append(time.monotonic() - began)
            if answer.status not in (200, 302):
                raise RuntimeError(f"{answer.status} of {address}")
        raise AssertionError("the pages never end")

    with ThreadPoolExecutor(people) as them:
        return [each for took in them.map(work, range(people)) for each in took]


def core_seconds(studio: Served) -> float:
    """What the server and its processes have used so far."""
    used = 0
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            facts = stat.read_text().rpartition(")")[2].split()
        except OSError:  # it ended meanwhile
            continue
        if int(facts[3]) == studio.server.pid:  # the session that it leads
            used += int(facts[11]) + int(facts[12])
    return used / TICKS


def connections() -> int | None:
    """To PostgreSQL, but for ours; SQLite has none that would count."""
    if connection.vendor == "sqlite":
        return None
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        return cursor.fetchone()[0]
