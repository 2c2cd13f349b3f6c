"""Finds the marks of the test file in a recording."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gear.audio.proving.plan import MARK_S, Plan
from gear.audio.proving.signal import section_at

#: What the marks are looked for in: above hum and rumble, and with room above the marks.
_BAND_HZ = (300.0, 10_000.0)
#: How much of what sounds in a mark's place has to be the mark (as a correlation), at least: an equaliser may take
#: much of a mark away, other sounds stay below a tenth.
LEAST_LIKE = 0.2
_CANDIDATES = 6
_SILENT = 1e-10  # as a power, against the loudest


@dataclass(frozen=True)
class Found:
    """A mark: its first sample, and how much what stands there is like it (0 to 1)."""

    at: float
    likeness: float


def find_marks(plan: Plan, samples: np.ndarray, rate_hz: float) -> tuple[list[Found], list[Found]]:
    """The likeliest places of the first mark and of the last, best first, at so many samples a second
    of the file. None in a recording that runs too fast to hold them."""
    if rate_hz < 2 * _BAND_HZ[1]:
        return [], []
    starts, ends = _likenesses(plan, samples, rate_hz)
    return _peaks(*starts, rate_hz), _peaks(*ends, rate_hz)


def peak_between(values: np.ndarray, at: int) -> float:
    """Where the parabola through a peak and its neighbours is highest, against the peak."""
    if not 0 < at < len(values) - 1:
        return 0.0
    before, peak, after = (float(value) for value in values[at - 1 : at + 2])
    bend = before - 2 * peak + after
    return 0.5 * (before - after) / bend if bend < 0 else 0.0


def _likenesses(plan: Plan, samples: np.ndarray, rate_hz: float) -> list[tuple[np.ndarray, float]]:
    """Of each mark: its normalised correlation with the samples, and the rate that this stands at.

    Block by block; only the band of the marks is transformed back, so at a rate several times lower.
    """
    length = math.ceil(MARK_S * rate_hz)
    size = 1 << (4 * length - 1).bit_length()
    fewer = 1 << int(math.log2(rate_hz / (2.0 * _BAND_HZ[1])))
    few, step, width = size // fewer, (size - length) // fewer * fewer, length // fewer
    band = slice(*(round(edge * size / rate_hz) for edge in _BAND_HZ))
    templates = list(_templates(plan, rate_hz, size, band))
    blocks = math.ceil(len(samples) / step)
    likenesses = [np.zeros(blocks * step // fewer, np.float32) for _ in templates]
    powers = np.zeros(blocks * step // fewer, np.float32)

    def back(spectrum: np.ndarray) -> np.ndarray:
        within = np.zeros(few // 2 + 1, np.complex64)
        within[band] = spectrum
        return np.fft.irfft(within, few) / fewer

    for block in range(blocks):
        spectrum = np.fft.rfft(samples[block * step : block * step + size], size)[band]
        place = slice(block * step // fewer, (block + 1) * step // fewer)
        for likeness, template in zip(likenesses, templates, strict=True):
            likeness[place] = back(spectrum * template)[: step // fewer]
        sums = np.concatenate([[0.0], np.cumsum(back(spectrum) ** 2, dtype=np.float64)])
        powers[place] = fewer * (sums[width:] - sums[:-width])[: step // fewer]
    loudest = max(float(powers.max(initial=0)), 1e-12)
    level = np.sqrt(np.maximum(powers, _SILENT * loudest))
    return [(np.abs(likeness) / level, rate_hz / fewer) for likeness in likenesses]


def _templates(plan: Plan, rate_hz: float, size: int, band: slice) -> Iterator[np.ndarray]:
    """The conjugate spectra of the marks in their band, of unit energy."""
    seconds = np.arange(math.ceil(MARK_S * rate_hz)) / rate_hz
    for mark in plan.of("mark"):
        spectrum = np.fft.rfft(section_at(plan, mark, seconds).astype(np.float32), size)[band]
        yield np.conj(spectrum) / np.sqrt(2 * np.sum(np.abs(spectrum) ** 2) / size)


def _peaks(likeness: np.ndarray, rate: float, rate_hz: float) -> list[Found]:
    """The highest few, each a mark's length apart from the others."""
    left, found = likeness.copy(), []
    for _ in range(_CANDIDATES):
        at = int(left.argmax()) if left.size else 0
        if not left.size or left[at] < LEAST_LIKE:
            break
        found.append(Found((at + peak_between(likeness, at)) * rate_hz / rate, float(likeness[at])))
        left[max(0, at - int(MARK_S * rate)) : at + int(MARK_S * rate)] = 0
    return found
