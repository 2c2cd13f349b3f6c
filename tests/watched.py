"""What a reading took: of this process, and of each process that it started (getrusage(2)).

Seconds of computing, never of waiting: these are the same on a busy machine.
"""

import ctypes
import gc
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from unittest.mock import patch


@dataclass
class Taken:
    """Bytes by which this process swelled, and its seconds; of each child the most bytes that it had in
    memory, and its seconds."""

    grown: int = 0
    seconds: float = 0
    children: list[tuple[int, float]] = field(default_factory=list)


def peak_memory() -> int:
    """The most bytes that this process ever had in memory since `watch_memory`."""
    status = Path("/proc/self/status").read_text().splitlines()
    [line] = [line for line in status if line.startswith("VmHWM")]
    return int(line.split()[1]) << 10


def watch_memory() -> int:
    Path("/proc/self/clear_refs").write_text("5")
    return peak_memory()


@contextmanager
def watched() -> Iterator[Taken]:
    taken = Taken()

    def waitpid(pid: int, options: int) -> tuple[int, int]:
        ended, status, used = os.wait4(pid, options)
        if ended:
            # A child begins with the memory of the process that it was split from.
            taken.children.append((used.ru_maxrss << 10, used.ru_utime + used.ru_stime))
        return ended, status

    gc.collect()
    ctypes.CDLL(None).malloc_trim(0)  # what other tests have freed, or each child would count it
    with patch.object(os, "waitpid", waitpid):
        before, began = watch_memory(), time.process_time()
        yield taken
    taken.seconds = time.process_time() - began
    taken.grown = peak_memory() - before
