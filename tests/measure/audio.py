"""The meter: how much processor time it takes beside the ffmpeg command, which measures the same of
the same file, how much memory, and the published signals at every rate."""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np

from tests.measure.timing import Ratio, interleaved, processor_time
from tests.published import tech_3341
from tests.signals import write_wav

RATES = [44_100, 48_000, 96_000, 192_000]
MOST_OF_FFMPEG = 1.0
MOST_MEGABYTES = 150

# The child's own way of starting, with its peak of resident memory in kilobytes at the end. (What
# `getrusage` says counts the process that started it.)
CHILD = """
import sys
from sessions.deliverables.measuring.__main__ import main
main(str(1 << 30), "36000", sys.argv[1], "inf")
sys.stderr.write(open("/proc/self/status").read())
"""


@dataclass(frozen=True)
class Memory:
    what: str
    megabytes: float

    @property
    def holds(self) -> bool:
        return self.megabytes <= MOST_MEGABYTES

    def __str__(self) -> str:
        verdict = "pass" if self.holds else "FAIL"
        return f"{self.what}: {self.megabytes:.0f} MB, at most {MOST_MEGABYTES}: {verdict}"


def measure(minutes: int, rates: list[int], rounds: int, published: bool) -> Iterator[object]:
    if published:
        found = list(tech_3341.published(RATES))
        yield from (reading for reading in found if not reading.holds)
        yield f"published signals: {sum(reading.holds for reading in found)} of {len(found)} hold"
        return
    if not shutil.which("ffmpeg"):
        yield "The ffmpeg command is missing: install Debian's package ffmpeg to compare with it."
    with tempfile.TemporaryDirectory(prefix="studio-measure-audio-") as folder:
        for rate in rates:
            path = Path(folder) / "mix.wav"
            write_mix(path, minutes, rate)
            yield from _compared(path, f"{minutes} min at {rate / 1000:g} kHz", rounds)
            yield Memory(f"child, {minutes} min at {rate / 1000:g} kHz", _child(path))


def _compared(path: Path, size: str, rounds: int) -> Iterator[Ratio]:
    if shutil.which("ffmpeg"):
        works = {"measuring": partial(_child, path), "ffmpeg": partial(_ffmpeg, path)}
        times = interleaved(works, rounds, clock=processor_time)
        yield Ratio.of(times, "measuring", "ffmpeg", MOST_OF_FFMPEG, size)


def _child(path: Path) -> float:
    """Peak memory in megabytes."""
    done = subprocess.run(
        [sys.executable, "-c", CHILD, path],
        env=os.environ | {"OPENBLAS_NUM_THREADS": "1"},
        capture_output=True,
        text=True,
        check=True,
    )
    if '"measurement"' not in done.stdout:
        raise RuntimeError(done.stdout)
    return int(re.search(r"VmHWM:\s*(\d+) kB", done.stderr)[1]) / 1000


def _ffmpeg(path: Path) -> None:
    command = ["ffmpeg", "-nostats", "-i", path, "-af", "ebur128=peak=true", "-f", "null", "-"]
    subprocess.run(command, capture_output=True, check=True)


def write_mix(path: Path, minutes: int, rate: int) -> None:
    """Half a minute, over and over: struck noise twice a second over a chord, held down as mixes
    are (about -12 LUFS under a sample peak of -2 dBFS), in stereo of 24 bits."""
    chance = np.random.default_rng(1)
    at = np.arange(30 * rate) / rate
    noise = np.fft.rfft(chance.standard_normal((len(at), 2)), axis=0)
    darkened = noise / np.sqrt(1 + (np.fft.rfftfreq(len(at), 1 / rate) / 3000) ** 2)[:, None]
    struck = np.fft.irfft(darkened, len(at), axis=0) * np.exp(-(at * 2 % 1) * 16)[:, None]
    notes = (110, 220, 277.2, 329.6, 660, 1318.5, 2637)
    chord = sum(np.sin(2 * np.pi * hz * at) / (1 + i) for i, hz in enumerate(notes))
    mixed = 0.8 * struck / np.abs(struck).max() + chord[:, None] / 6
    write_wav(path, np.tile(0.89 * np.tanh(1.5 * mixed), (2, 1)), rate=rate)
    _repeat_sound(path, minutes)


def _repeat_sound(path: Path, minutes: int) -> None:
    """Makes a file of one minute as long as that."""
    whole = path.read_bytes()
    header, sound = whole[:44], whole[44:]
    size = len(sound) * minutes
    header = header[:4] + (36 + size).to_bytes(4, "little") + header[8:40]
    with path.open("wb") as file:
        file.write(header + size.to_bytes(4, "little"))
        for _ in range(minutes):
            file.write(sound)
