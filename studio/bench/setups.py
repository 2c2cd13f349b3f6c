"""The page of ten chains and 400 controls, held against the same rows read and written by bare SQL."""

import json
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from statistics import median

from studio.bench.scratch import scratch_database

# What of ours is held against which bare SQL, and how many times as long it may take.
GOALS = [
    ("read", "read, bare SQL", 10),
    ("page", "read, bare SQL", 200),
    ("save", "save, bare SQL", 10),
]


@dataclass(frozen=True)
class SetupRatio:
    what: str
    seconds: float
    against: float
    goal: float

    @property
    def value(self) -> float:
        return self.seconds / self.against

    @property
    def met(self) -> bool:
        return self.value <= self.goal


def measure(rounds: int) -> dict:
    """Seconds of each work and numbers of queries, from a process with a database of its own."""
    with scratch_database() as environment:
        measured = subprocess.run(
            [sys.executable, "-m", "studio.bench.setup_works", str(rounds)],
            env=environment | {"DJANGO_SETTINGS_MODULE": "studio.bench.settings"},
            stdout=subprocess.PIPE,
            text=True,
            check=True,
        )
    return json.loads(measured.stdout)


def setup_ratios(times: Mapping[str, list[float]]) -> list[SetupRatio]:
    return [
        SetupRatio(f"{what} / {against}", median(times[what]), median(times[against]), goal)
        for what, against, goal in GOALS
    ]


def same_queries(counts: Mapping[str, int]) -> bool:
    """Whether two chains and ten cost the same number of queries to show."""
    return counts["page of 2 chains"] == counts["page of 10 chains"]
