"""The wall clock of a process is as wrong as a file says, in days, from one moment to the next; what counts
seconds goes on (time-machine leaves `monotonic` as it is)."""

import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Thread

import time_machine

LOOK = 0.05  # seconds between two looks into the file


def follow(file: str) -> None:
    """From now on, by a thread of its own."""
    clock = time_machine.travel(datetime.now(UTC), tick=True).start()
    # To begin took a while, on a busy machine many seconds: all processes have the same clock.
    clock.shift(timedelta(seconds=time_machine.escape_hatch.time.time() - time.time()))
    Thread(target=_follow, args=(Path(file), clock), daemon=True).start()


def _follow(file: Path, clock) -> None:
    wrong_by = 0
    while file.exists():
        if (text := file.read_text()) and int(text) != wrong_by:
            clock.shift(timedelta(days=int(text) - wrong_by))
            wrong_by = int(text)
        time.sleep(LOOK)
