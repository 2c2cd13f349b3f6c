"""Measures a file in a process of its own, which may fail without harm."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

from .decoding import out_of_memory
from .measurement import Measurement, Reason, UnmeasurableFile

ROOT = Path(__file__).resolve().parents[3]
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
        done = subprocess.run(
            [sys.executable, "-m", __package__, str(memory_bytes), str(cpu_seconds), str(path)],
            cwd=ROOT,
            env={"OPENBLAS_NUM_THREADS": "1", "PATH": os.defpath},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=wall_seconds,
        )
    except subprocess.TimeoutExpired:
        raise _too_slow() from None
    return _answer(done)


def _answer(done: subprocess.CompletedProcess) -> Measurement:
    if done.returncode in (-signal.SIGXCPU, -signal.SIGKILL):
        raise _too_slow()
    if done.returncode == 0:
        answer = json.loads(done.stdout)
        if "measurement" in answer:
            return Measurement.from_dict(answer["measurement"])
        raise UnmeasurableFile(Reason(answer["reason"]), answer["message"])
    if b"MemoryError" in done.stderr:
        raise out_of_memory()
    raise UnmeasurableFile(
        Reason.DAMAGED, "The file stopped the decoder: it is damaged, copy or export it again."
    )


def _too_slow() -> UnmeasurableFile:
    return UnmeasurableFile(
        Reason.TOO_SLOW,
        "Measuring the file took too long: it may be damaged, or too long to measure here.",
    )
