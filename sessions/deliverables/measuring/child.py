"""Measures a file in a process of its own, which may fail without harm."""

import json
import math
from collections.abc import Callable
from pathlib import Path

from sessions.limited import ChildFailed, TookTooLong, TookTooMuchMemory, run_limited

from .decoding import out_of_memory
from .measurement import Measurement, Reason, UnmeasurableFile

GIBIBYTE = 1 << 30


def measure_in_child(
    path: str | Path,
    *,
    progress: Callable[[int], None] = lambda percent: None,
    longest_seconds: float | None = None,
    largest_bytes: int | None = None,
    memory_bytes: int = GIBIBYTE,
    wall_seconds: float | None = None,
    cpu_seconds: int | None = None,
) -> Measurement:
    """Like `measure`, within limits: a damaged file can make a decoder hang, swell or crash.

    Time has a limit of ten minutes and a second for each megabyte of the file, unless it is given.
    `progress` runs in this process; what it raises ends the child and comes through.

    Raises UnmeasurableFile also when the file is larger than `largest_bytes` and when a limit is
    reached; OSError when the file can't be opened.
    """
    path = Path(path).resolve()
    size = path.stat().st_size
    if largest_bytes is not None and size > largest_bytes:
        raise UnmeasurableFile(
            Reason.TOO_LARGE,
            f"The file has {size / 1e6:,.1f} MB; up to {largest_bytes / 1e6:,.1f} MB can be "
            "measured here.",
        )
    with path.open("rb"):
        pass
    seconds = 600 + size // 1_000_000
    try:
        answer = json.loads(
            run_limited(
                __package__,
                str(path),
                str(longest_seconds or math.inf),
                memory_bytes=memory_bytes,
                cpu_seconds=seconds if cpu_seconds is None else cpu_seconds,
                wall_seconds=seconds if wall_seconds is None else wall_seconds,
                said=lambda line: progress(int(line)) if line.strip().isdecimal() else None,
            )
        )
    except TookTooLong:
        raise UnmeasurableFile(
            Reason.TOO_SLOW,
            "Measuring the file took too long: it may be damaged, or too long to measure here.",
        ) from None
    except TookTooMuchMemory:
        raise out_of_memory() from None
    except ChildFailed as error:
        raise UnmeasurableFile(
            Reason.DAMAGED, "The file stopped the decoder: it is damaged, copy or export it again."
        ) from error
    if "measurement" in answer:
        return Measurement(**answer["measurement"])
    raise UnmeasurableFile(Reason(answer["reason"]), answer["message"])
