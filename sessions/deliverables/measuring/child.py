"""Measures a file in a process of its own, which may fail without harm."""

import json
from pathlib import Path

from sessions.limited import ChildFailed, TookTooLong, TookTooMuchMemory, run_limited

from .decoding import out_of_memory
from .measurement import Measurement, Reason, UnmeasurableFile

GIBIBYTE = 1 << 30


def measure_in_child(
    path: str | Path,
    *,
    wall_seconds: float = 600,
    memory_bytes: int = GIBIBYTE,
    cpu_seconds: int = 600,
    largest_bytes: int | None = None,
) -> Measurement:
    """Like `measure`, within limits: a damaged file can make a decoder hang, swell or crash.

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
    try:
        answer = json.loads(
            run_limited(
                __package__,
                str(path),
                memory_bytes=memory_bytes,
                cpu_seconds=cpu_seconds,
                wall_seconds=wall_seconds,
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
