"""Recall sheets at several numbers of chains, held against what they are compared with."""

import json
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from django.core.management import CommandError

from studio.bench.scratch import scratch_database

DRAWINGS, BROWSER, KEPT = 1.5, 1.0, 3.0
MOST_MEGABYTES = 1024
#: What is measured, what it is held against, and how many times as long it may take.
GOALS = (
    ("sheet", "without drawings", DRAWINGS),
    ("sheet", "Chromium, cold", BROWSER),
    ("kept", "static file", KEPT),
)


@dataclass(frozen=True)
class SheetRatio:
    what: str
    chains: int
    controls: int
    seconds: float
    against: float
    goal: float

    @property
    def value(self) -> float:
        return self.seconds / self.against

    @property
    def met(self) -> bool:
        return self.value <= self.goal


def measure(sizes: Sequence[int], rounds: int) -> list[dict]:
    """All sizes in one process, on a database of its own."""
    with scratch_database() as environment:
        ended = subprocess.run(
            [sys.executable, "-m", "studio.bench.printing", str(rounds), *map(str, sizes)],
            env=environment | {"DJANGO_SETTINGS_MODULE": "studio.bench.settings"},
            stdout=subprocess.PIPE,
            text=True,
        )
    if ended.returncode:
        raise CommandError("The process that prints has failed; what it said stands above.")
    return json.loads(ended.stdout)


def ratios(measured: Sequence[dict]) -> Iterator[SheetRatio]:
    """Of each goal whose two sides were measured: Chromium may be missing."""
    for what, against, goal in GOALS:
        for size in measured:
            times = size["times"]
            if against in times:
                yield SheetRatio(
                    f"{what} / {against}",
                    size["chains"],
                    size["controls"],
                    median(times[what]),
                    median(times[against]),
                    goal,
                )


def memory_is_bounded(measured: Sequence[dict]) -> bool:
    """The largest sheets, made over and over, stay under the limit."""
    return max(size["megabytes"]["after"] for size in measured) <= MOST_MEGABYTES
