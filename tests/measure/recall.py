"""Recall sheets at several numbers of chains, held against what they are compared with."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from studio.bench.ratio import Ratio
from studio.bench.scratch import BENCH_SETTINGS, answer_of, scratch_database

DRAWINGS, BROWSER, KEPT = 1.5, 1.0, 3.0
MOST_MEGABYTES = 1024
#: What is measured, what it is held against, and how many times as long it may take.
GOALS = (
    ("sheet", "without drawings", DRAWINGS),
    ("sheet", "Chromium, cold", BROWSER),
    ("kept", "static file", KEPT),
)


@dataclass(frozen=True, kw_only=True)
class SheetRatio(Ratio):
    chains: int
    controls: int


def measure(sizes: Sequence[int], rounds: int) -> list[dict]:
    """All sizes in one process, on a database of its own."""
    with scratch_database() as environment:
        return answer_of("printing", rounds, *sizes, environment=environment | BENCH_SETTINGS)


def ratios(measured: Sequence[dict]) -> Iterator[SheetRatio]:
    """Of each goal whose two sides were measured: Chromium may be missing."""
    for what, against, goal in GOALS:
        for size in measured:
            times = size["times"]
            if against in times:
                yield SheetRatio(
                    what=f"{what} / {against}",
                    chains=size["chains"],
                    controls=size["controls"],
                    seconds=median(times[what]),
                    against=median(times[against]),
                    goal=goal,
                )


def memory_is_bounded(measured: Sequence[dict]) -> bool:
    """The largest sheets, made over and over, stay under the limit."""
    return max(size["megabytes"] for size in measured) <= MOST_MEGABYTES
