"""Times that can be compared on a machine that has other things to do."""

from collections.abc import Callable, Mapping
from time import perf_counter

Times = dict[str, list[float]]


def interleaved(works: Mapping[str, Callable[[], object]], rounds: int) -> Times:
    """Seconds that each took, in turn, round after round: a busy moment of the machine hits all
    alike. Compare by the medians."""
    times: Times = {name: [] for name in works}
    for _ in range(rounds):
        for name, work in works.items():
            began = perf_counter()
            work()
            times[name].append(perf_counter() - began)
    return times
