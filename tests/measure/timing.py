"""Times that can be compared on a machine that has other things to do."""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import median
from time import perf_counter

Works = Mapping[str, Callable[[], object]]
Times = dict[str, list[float]]


def processor_time() -> float:
    """Seconds that this process and those which it has waited for were at work."""
    return sum(os.times()[:4])


def interleaved(works: Works, rounds: int, clock: Callable[[], float] = perf_counter) -> Times:
    """Seconds that each took, in turn, round after round: a busy moment of the machine hits all
    alike. Every other round goes backwards, so that none always finds what the one before it has
    warmed up. Compare by the medians."""
    times: Times = {name: [] for name in works}
    forwards = list(works.items())
    for number in range(rounds):
        for name, work in forwards[:: -1 if number % 2 else 1]:
            began = clock()
            work()
            times[name].append(clock() - began)
    return times


@dataclass(frozen=True)
class Ratio:
    """How many times as long something of ours takes as a floor or a peer, and the most it may:
    None for a peer that is only there to be looked at."""

    what: str
    against: str
    seconds: float
    floor: float
    goal: float | None = None
    size: str = ""

    @classmethod
    def of(
        cls, times: Times, what: str, against: str, goal: float | None, size: str = ""
    ) -> "Ratio":
        """By the medians."""
        return cls(what, against, median(times[what]), median(times[against]), goal, size)

    @property
    def value(self) -> float:
        return self.seconds / self.floor

    @property
    def met(self) -> bool:
        return self.goal is None or self.value <= self.goal

    def __str__(self) -> str:
        name = f"{self.what} / {self.against}" + (f", {self.size}" if self.size else "")
        goal = "" if self.goal is None else f"at most {self.goal:g}: {passed(self.met)}"
        milliseconds = f"{self.seconds * 1e3:.2f} ms / {self.floor * 1e3:.2f} ms"
        return f"{name:62} {milliseconds:>27} = {self.value:6.2f}  {goal}".rstrip()


def passed(met: bool) -> str:
    return "pass" if met else "FAIL"
