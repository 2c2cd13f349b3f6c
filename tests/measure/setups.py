"""The page of ten chains and 400 controls, held against the same rows read and written by bare SQL."""

from collections.abc import Mapping
from statistics import median

from studio.bench.ratio import Ratio
from studio.bench.scratch import BENCH_SETTINGS, answer_of, scratch_database

# What of ours is held against which bare SQL, and how many times as long it may take.
GOALS = [
    ("read", "read, bare SQL", 10),
    ("page", "read, bare SQL", 200),
    ("save", "save, bare SQL", 10),
]


def measure(rounds: int) -> dict:
    """Seconds of each work and numbers of queries, from a process with a database of its own."""
    with scratch_database() as environment:
        return answer_of("setup_works", rounds, environment=environment | BENCH_SETTINGS)


def setup_ratios(times: Mapping[str, list[float]]) -> list[Ratio]:
    return [
        Ratio(
            what=f"{what} / {against}",
            seconds=median(times[what]),
            against=median(times[against]),
            goal=goal,
        )
        for what, against, goal in GOALS
    ]


def same_queries(counts: Mapping[str, int]) -> bool:
    """Whether two chains and ten cost the same number of queries to show."""
    return counts["page of 2 chains"] == counts["page of 10 chains"]
