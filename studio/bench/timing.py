"""Times that can be compared on a machine that has other things to do."""

from collections.abc import Callable, Mapping
from time import perf_counter

Times = dict[str, list[float]]


def interleaved(works: Mapping[str, Callable[[], object]], rounds: int) -> Times:
    """Seconds that each took, in turn, round after round: a busy moment of the machine hits all
    alike. Every other round goes backwards, so that none always finds what the one before it has
    warmed up. Compare by the medians."""
    times: Times = {name: [] for name in works}
    forwards = list(works.items())
    for number in range(rounds):
        for name, work in forwards[:: -1 if number % 2 else 1]:
            began = perf_counter()
            work()
            times[name].append(perf_counter() - began)
    return times
