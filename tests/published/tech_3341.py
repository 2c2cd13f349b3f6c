"""The signals of EBU Tech 3341 v4 (November 2023), Table 1, and EBU Tech 3342, at any sample rate.

Cases 7 and 8 are programmes that the EBU gives as files only. Cases 20 to 23 are variants of our
own: the text leaves their splice and their filter open.
"""

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import lru_cache

import av
import numpy as np

from sessions.deliverables.measuring.meter import Meter
from tests.signals import RATE, channels, silence, tone

LUFS_TOLERANCE = (-0.1, 0.1)
PEAK_TOLERANCE = (-0.4, 0.2)
RANGE_TOLERANCE = (-1.0, 1.0)

# A tone in the front pair reads as it does in stereo; in one channel it has half the power.
LAYOUTS = ("mono", "stereo", "5.1(side)")
MONO_LU = 10 * np.log10(0.5)


@dataclass(frozen=True)
class Reading:
    """What a meter says, and what it must say."""

    case: str
    figure: float | None
    expected: float
    tolerance: tuple[float, float]

    @property
    def holds(self) -> bool:
        low, high = self.tolerance
        return self.figure is not None and low <= self.figure - self.expected <= high

    def __str__(self) -> str:
        figure = "none" if self.figure is None else f"{self.figure:.3f}"
        return f"{self.case:40} {figure:>9} {self.expected:8.1f}  {'' if self.holds else 'FAIL'}"


def steps(*seconds_and_dbfs: tuple[float, float | None], rate: int = RATE) -> np.ndarray:
    """One channel of 1 kHz tones, one after the other; None is silence."""
    return np.concatenate(
        [
            silence(seconds, rate=rate) if dbfs is None else tone(seconds, dbfs, rate=rate)
            for seconds, dbfs in seconds_and_dbfs
        ]
    )


def surround(rate: int = RATE) -> np.ndarray:
    """Case 6."""
    front, centre, rear = (tone(20, dbfs, rate=rate) for dbfs in (-28, -24, -30))
    return channels(front, front, centre, rear, rear)


PROGRAMMES = {
    1: [(20, -23)],
    2: [(20, -33)],
    3: [(10, -36), (60, -23), (10, -36)],
    4: [(10, -72), (10, -36), (60, -23), (10, -36), (10, -72)],
    5: [(20, -26), (20.1, -20), (20, -26)],
    9: [(1.34, -20), (1.66, -30)] * 5,
    12: [(0.18, -20), (0.22, -30)] * 25,
}
RANGES = {
    1: ([(20, -20), (20, -30)], 10.0),
    2: ([(20, -20), (20, -15)], 5.0),
    3: ([(20, -40), (20, -20)], 20.0),
    4: ([(20, -50), (20, -35), (20, -20), (20, -35), (20, -50)], 15.0),
}
# Case: (samples in a period, amplitude, phase in degrees, expected dBTP).
PEAKS = {
    15: (4, 0.50, 0.0, -6.0),
    16: (4, 0.50, 45.0, -6.0),
    17: (6, 0.50, 60.0, -6.0),
    18: (8, 0.50, 67.5, -6.0),
    19: (4, 1.41, 45.0, +3.0),
}


def peak_tone(period, amplitude, degrees, rate: int = RATE, seconds: float = 1) -> np.ndarray:
    return tone(
        seconds, 20 * np.log10(amplitude), hz=rate / period, rate=rate, degrees=degrees,
        fade_seconds=0.01,
    )  # fmt: skip


@lru_cache(maxsize=1)
def _spliced() -> np.ndarray:
    """A sine of fs/6 into which a period of fs/4, twice as high, is spliced; band-limited, at 4 fs,
    and its highest point set to 0 dB."""
    fine = 0.5 * np.sin(2 * np.pi * np.arange(24_000) / 24)
    fine[12_000:12_016] = np.sin(2 * np.pi * np.arange(16) / 16)
    fine[:960] *= np.linspace(0, 1, 960)
    fine[-960:] *= np.linspace(1, 0, 960)
    spectrum = np.fft.rfft(fine)
    edge = np.arange(len(spectrum)) / len(fine) * 4  # of fs
    spectrum *= np.clip((0.48 - edge) / 0.08, 0, 1)
    highest = np.abs(np.fft.irfft(spectrum, 8 * len(fine))).max() * 8
    return np.fft.irfft(spectrum, len(fine)) / highest


def peaks(rate: int) -> Iterator[tuple[str, np.ndarray, float]]:
    for case, (period, amplitude, degrees, expected) in PEAKS.items():
        yield f"{case}", peak_tone(period, amplitude, degrees, rate, seconds=0.2), expected
    for offset in range(4):
        yield f"{20 + offset} (own variant)", _spliced()[offset::4], 0.0


def metered(one: np.ndarray, layout: str = "stereo", rate: int = RATE) -> Meter:
    """One channel's sound, in the front of the layout; or all channels of it."""
    return _finished([one], layout, rate)


def running_maxima(parts, figure: str, layout: str, rate: int) -> list[float]:
    """The figure after each part of one stream."""
    meter, found = None, []
    for part in parts:
        frame = _frame(part, layout, rate)
        meter = meter or Meter(frame)
        meter.push(frame)
        so_far = deepcopy(meter)
        so_far.finish()
        found.append(getattr(so_far.loudness, figure))
    return found


def _finished(parts, layout: str, rate: int) -> Meter:
    frames = [_frame(part, layout, rate) for part in parts]
    meter = Meter(frames[0])
    for frame in frames:
        meter.push(frame)
    meter.finish()
    return meter


def _frame(samples: np.ndarray, layout: str, rate: int) -> av.AudioFrame:
    if samples.ndim == 1:
        count = av.AudioLayout(layout).nb_channels
        fronts = min(2, count)
        samples = np.stack([samples] * fronts + [np.zeros(len(samples))] * (count - fronts), axis=1)
    packed = np.ascontiguousarray(samples.reshape(1, -1), dtype=np.float32)
    frame = av.AudioFrame.from_ndarray(packed, format="flt", layout=layout)
    frame.sample_rate = rate
    return frame


def readings(rate: int, layout: str, cases: set[int] | None = None) -> Iterator[Reading]:
    """All the cases of loudness, or those."""
    offset = MONO_LU if layout == "mono" else 0
    says = f"{rate / 1000:g} kHz {layout}, "

    def reading(case, figure, expected):
        return Reading(f"{says}case {case}", figure, expected + offset, LUFS_TOLERANCE)

    def wanted(case):
        return cases is None or case in cases

    for case in filter(wanted, (1, 2, 3, 4, 5, 9, 12)):
        loudness = metered(steps(*PROGRAMMES[case], rate=rate), layout, rate).loudness
        expected = -33.0 if case == 2 else -23.0
        if case < 9:
            yield reading(f"{case} I", loudness.integrated_lufs, expected)
        if case in (1, 2, 9):
            yield reading(f"{case} S", loudness.max_short_term_lufs, expected)
        if case in (1, 2, 12):
            yield reading(f"{case} M", loudness.max_momentary_lufs, expected)
    for case, lead, long, rest, figure in (
        (10, 0.15, 3, 1, "max_short_term_lufs"),
        (13, 0.02, 0.4, 1, "max_momentary_lufs"),
    ):
        for i in range(20) if wanted(case) else ():
            sound = steps((i * lead, None), (long, -23), (rest, None), rate=rate)
            figured = getattr(metered(sound, layout, rate).loudness, figure)
            yield reading(f"{case} at {i * lead:.2f} s", figured, -23.0)
    for case, lead, long, figure in (
        (11, 0.15, 3, "max_short_term_lufs"),
        (14, 0.02, 0.4, "max_momentary_lufs"),
    ):
        if wanted(case):
            parts = [
                steps((i * lead, None), (long, i - 38), (long - i * lead, None), rate=rate)
                for i in range(20)
            ]
            for i, found in enumerate(running_maxima(parts, figure, layout, rate)):
                yield reading(f"{case}, step {i}", found, i - 38.0)


def surround_reading(rate: int) -> Reading:
    found = metered(surround(rate), "5.0(side)", rate).loudness.integrated_lufs
    return Reading(f"{rate / 1000:g} kHz 5.0, case 6 I", found, -23.0, LUFS_TOLERANCE)


def peak_readings(rate: int, layout: str) -> Iterator[Reading]:
    for case, one, expected in peaks(rate):
        found = metered(one, layout, rate).true_peak_dbtp
        yield Reading(f"{rate / 1000:g} kHz {layout}, case {case}", found, expected, PEAK_TOLERANCE)


def range_readings(rate: int, layout: str) -> Iterator[Reading]:
    for case, (levels, expected) in RANGES.items():
        found = metered(steps(*levels, rate=rate), layout, rate).loudness.range_lu
        name = f"{rate / 1000:g} kHz {layout}, Tech 3342, {case}"
        yield Reading(name, found, expected, RANGE_TOLERANCE)


def published(rates, layouts=LAYOUTS) -> Iterator[Reading]:
    """Everything, which takes minutes."""
    for rate in rates:
        yield surround_reading(rate)
        for layout in layouts:
            for each in (readings, peak_readings, range_readings):
                yield from each(rate, layout)
