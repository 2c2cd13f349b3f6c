"""The clash check and the schedule at several sizes, held against what they are compared with."""

import json
import subprocess
import sys
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from statistics import median

from django.core.management import CommandError

from studio.bench.ratio import Ratio
from studio.bench.scratch import BENCH_SETTINGS, scratch_database
from studio.bench.timing import Times

CHECK_COST, CHECK_GROWTH, WEEK_COST = 1.5, 1.3, 2.0


@dataclass(frozen=True, kw_only=True)
class SizeRatio(Ratio):
    sessions: int


@dataclass(frozen=True)
class Measured:
    """Of one size: all the times, the numbers of queries of the pages, and the SQL compared with."""

    sessions: int
    times: Times
    queries: dict[str, int]
    sql: dict[str, list[str]]

    def median(self, name: str) -> float:
        return median(self.times[name])


def measure(sizes: Sequence[int], rounds: int, tell: Callable[[str], None]) -> list[Measured]:
    """Each size in a database and a process of its own, which take turns, so that a busy moment of
    the machine hits all sizes alike."""
    with ExitStack() as stack:
        works = []
        for size in sizes:
            tell(f"Putting {size:,} sessions on record …")
            works.append(_Work(size, stack))
        tell(f"Measuring, {rounds} rounds …")
        for _ in range(rounds):
            for work in works:
                work.again()
        return [work.measured for work in works]


class _Work:
    """The process of one size."""

    def __init__(self, size: int, stack: ExitStack):
        environment = stack.enter_context(scratch_database())
        self.process = stack.enter_context(
            subprocess.Popen(
                [sys.executable, "-m", "studio.bench.measuring", str(size)],
                env=environment | BENCH_SETTINGS,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                text=True,
            )
        )
        stack.callback(self.process.kill)
        self.measured = Measured(size, {}, **self._answer())

    def again(self) -> None:
        self.process.stdin.write("again\n")
        self.process.stdin.flush()
        for name, seconds in self._answer().items():
            self.measured.times.setdefault(name, []).extend(seconds)

    def _answer(self) -> dict:
        line = self.process.stdout.readline()
        if not line:
            raise CommandError("A process that measures has ended; what it said stands above.")
        return json.loads(line)


def ratios(measured: Sequence[Measured]) -> list[SizeRatio]:
    checks = ("clash check, free", "bare SQL, free"), ("clash check, taken", "bare SQL, taken")
    found = [
        _ratio(f"{check} / the bare SQL", size, check, size, bare, CHECK_COST)
        for check, bare in checks
        for size in measured
    ]
    week, change_list = "schedule week", "admin change list"
    found += [
        _ratio(f"{week} / {change_list}", size, week, size, change_list, WEEK_COST)
        for size in measured
    ]
    smallest, largest = measured[0], measured[-1]
    if largest is not smallest:
        of_the_same = f"the same at {smallest.sessions:,}"
        found += [
            _ratio(f"{check} / {of_the_same}", largest, check, smallest, check, CHECK_GROWTH)
            for check, _ in checks
        ]
    return found


def _ratio(
    what: str, size: Measured, name: str, other: Measured, against: str, goal: float
) -> SizeRatio:
    """Of `name` at one size over `against` at another."""
    return SizeRatio(
        what=what,
        sessions=size.sessions,
        seconds=size.median(name),
        against=other.median(against),
        goal=goal,
    )


def same_queries(measured: Sequence[Measured]) -> bool:
    """Whether the week's page asks the same number of queries at every size."""
    return len({size.queries["schedule week"] for size in measured}) == 1
