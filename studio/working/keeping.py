"""Processes that are kept: started again whenever one ends, until whoever keeps them is told to end."""

import ctypes
import os
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from contextlib import suppress
from functools import partial

PAUSE = 1  # seconds between two looks whether one has ended
GRACE = 60  # seconds to end what was begun; the next worker begins the rest anew
END_WITH_PARENT = 1  # PR_SET_PDEATHSIG, prctl(2)

Command = Sequence[str | os.PathLike]

# Of the C library, mallopt(3): what was freed is given back. By itself it keeps more and more of it, and a
# server of many threads grows by a fifth within half an hour in which it holds no more than before.
GIVES_BACK = {
    "MALLOC_ARENA_MAX": "2",
    "MALLOC_MMAP_THRESHOLD_": "131072",
    "MALLOC_TRIM_THRESHOLD_": "131072",
}


def keep(commands: Sequence[Command]) -> None:
    """Each in a process of its own. One that is told to end (SIGTERM, Ctrl+C) tells them all; where it is
    killed instead, so that it cannot, the system tells them."""
    signal.signal(signal.SIGTERM, lambda *_: sys.exit())
    kept: dict[int, subprocess.Popen] = {}
    end_with_keeper = partial(_end_with, os.getpid())
    try:
        while True:
            for number, command in enumerate(commands):
                if number not in kept or kept[number].poll() is not None:
                    # In a group of its own: Ctrl+C reaches this process, which tells the others once.
                    kept[number] = subprocess.Popen(
                        command,
                        process_group=0,
                        preexec_fn=end_with_keeper,
                        env=GIVES_BACK | os.environ,
                    )
            time.sleep(PAUSE)
    except KeyboardInterrupt:
        pass
    finally:
        _end(kept.values())


def _end_with(parent: int) -> None:
    ctypes.CDLL(None).prctl(END_WITH_PARENT, signal.SIGTERM)
    if os.getppid() != parent:  # killed in between: nobody would be told any more
        os._exit(1)


def _end(processes) -> None:
    for process in processes:
        process.terminate()
    with suppress(KeyboardInterrupt, SystemExit, subprocess.TimeoutExpired):
        until = time.monotonic() + GRACE
        for process in processes:
            process.wait(max(0, until - time.monotonic()))
    for process in processes:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)  # with the children that measure
