"""Reading a whole return at 96 kHz, as the worker's child reads it: its processor time, beside numpy's bare
transforms of the same sweeps, and its memory."""

import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median

import numpy as np

from gear.audio.proving.plan import Plan
from gear.audio.proving.signal import blocks
from tests.measure.timing import passed, processor_time
from tests.signals import write_wav
from tests.simulated import Chain, Compressor, Gain, HighShelf, Peak, simulated_return

PLAN = Plan(96_000, -10.0)
CHAIN = Chain(
    (Gain(2), Peak(3000, 4), Compressor(-24, 4, 6, 8, 120), HighShelf(8000, -3)),
    latency_samples=213.4,
    clock_ppm=11.0,
    noise_dbfs=-95.0,
)
MOST_SECONDS, MOST_MEGABYTES = 2.5, 250

# The child's own way of starting, with its peak of resident memory in kilobytes at the end.
CHILD = """
import sys
from sessions.recall.proving.__main__ import main
main(str(1 << 30), "120", sys.argv[1])
sys.stderr.write(open("/proc/self/status").read())
"""


@dataclass(frozen=True)
class Cost:
    what: str
    value: float
    unit: str
    most: float | None = None

    @property
    def holds(self) -> bool:
        return self.most is None or self.value <= self.most

    def __str__(self) -> str:
        goal = "" if self.most is None else f", at most {self.most:g}: {passed(self.holds)}"
        return f"{self.what:58} {self.value:8.2f} {self.unit}{goal}"


def measure(rounds: int) -> Iterator[object]:
    with tempfile.TemporaryDirectory(prefix="studio-measure-proving-") as folder:
        path = Path(folder) / "return.wav"
        write_wav(path, simulated_return(PLAN, CHAIN)[:, None], rate=PLAN.rate_hz)
        read, bare = [], []
        for _ in range(rounds):
            began = processor_time()
            megabytes = _child(path)
            read.append(processor_time() - began)
            bare.append(_bare_transforms())
    length = f"{PLAN.length_s:.0f} s at {PLAN.rate_hz / 1000:g} kHz"
    yield Cost(f"{length}, the child from its start to its end", median(read), "s", MOST_SECONDS)
    yield Cost("numpy's bare transforms of its sweeps", median(bare), "s")
    yield Cost("their share", 100 * median(bare) / median(read), "%")
    yield Cost("the child's memory at most", megabytes, "MB", MOST_MEGABYTES)


def _child(path: Path) -> float:
    """Peak memory in megabytes."""
    done = subprocess.run(
        [sys.executable, "-c", CHILD, path],
        env=os.environ | {"OPENBLAS_NUM_THREADS": "1"},
        input=json.dumps(PLAN.as_json()),
        capture_output=True,
        text=True,
        check=True,
    )
    if '"result"' not in done.stdout:
        raise RuntimeError(done.stdout)
    return int(re.search(r"VmHWM:\s*(\d+) kB", done.stderr)[1]) / 1000


def _bare_transforms() -> float:
    """Each sweep there and back again, in double precision, as long as it lasts."""
    whole = np.concatenate(list(blocks(PLAN)))
    began = processor_time()
    for sweep in PLAN.of("sweep"):
        at, length = round(sweep.start_s * PLAN.rate_hz), round(sweep.length_s * PLAN.rate_hz)
        np.fft.irfft(np.fft.rfft(whole[at : at + length]))
    return processor_time() - began
