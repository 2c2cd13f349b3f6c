"""The response of a chain from its sweeps, each held against the sweep as the return's own clock has it.

What comes back is divided by what was sent, frequency by frequency (Farina, AES 108th Convention, 2000, preprint
5093): harmonics then stand before the response to the fundamental, the second by L ln 2. Each frequency is read
through a window of its own of so many of its periods, so that noise counts the same at all of them.
"""

import math
from dataclasses import dataclass

import numpy as np

from gear.audio.proving.aligning import Alignment
from gear.audio.proving.plan import TAIL_S, Plan, Section
from gear.audio.proving.result import HERTZ
from gear.audio.proving.signal import section_at

#: Periods of a frequency that are read before and after the centre; the outer half of each fades out.
BEFORE, AFTER = 12.0, 30.0
#: At most so much, since the second harmonic stands 0.6 s before, and nothing rings for longer.
MOST_S = 0.5, 1.5
#: The response is read in two parts, the low one at a low rate.
_SPLIT_HZ, _LOW_HZ = 600.0, 1500.0
#: Where a sweep is divided by: from below what is read to just under its end.
_EDGES_HZ = (5.0, 9.0), (20_250.0, 20_450.0)
_LEAD_S = 0.05
#: Of the impulse response that is kept, how much lies before its centre.
CENTRE = 1 << 12
#: Where after the centre nothing of the sweep is left but noise.
_QUIET_S = 2.0, 2.4, 2.8, 3.2, 3.6


@dataclass(frozen=True)
class Swept:
    """What one sweep tells: the gain in dB at HERTZ, by how many dB noise lets it be off (standard deviation),
    and the impulse response about its centre, which stands `centre` samples after the alignment's place."""

    level_db: float
    gain_db: np.ndarray
    uncertain_db: np.ndarray
    impulse: np.ndarray
    centre: float


class Reader:
    """Reads the sweeps of one return: what depends on its clock alone is made once."""

    def __init__(self, plan: Plan, alignment: Alignment):
        self._plan, self._alignment = plan, alignment
        sweep = plan.of("sweep")[0]
        rate = alignment.rate_hz
        self._length = math.floor((_LEAD_S + sweep.length_s + TAIL_S) * rate)
        self._size = _quick(self._length)
        self._inverse = self._inverse_of(sweep)
        edge = self._band()
        self._high = _Windows([f for f in HERTZ if f >= _SPLIT_HZ], rate, self._size, edge)
        few = 2 * round(_LOW_HZ * self._size / rate)
        low_edge = edge[: few // 2 + 1] * _fall(np.arange(few // 2 + 1) / (few // 2), 0.67, 0.98)
        self._low = _Windows(
            [f for f in HERTZ if f < _SPLIT_HZ], rate * few / self._size, few, low_edge
        )
        self._low_edge = low_edge

    def read(self, samples: np.ndarray, sweep: Section) -> Swept:
        """Raises IndexError where the return ends before the sweep does."""
        rate = self._alignment.rate_hz
        start = self._alignment.sample_at(sweep.start_s)
        begin = math.floor(start - _LEAD_S * rate)
        heard = samples[begin : begin + self._length]
        if begin < 0 or len(heard) < self._length:
            raise IndexError("the sweep isn’t there as a whole")
        spectrum = np.fft.rfft(heard, self._size) * self._inverse
        spectrum *= 10 ** (-(sweep.level_db + self._plan.ceiling_dbfs) / 20)
        impulse = np.fft.irfft(spectrum, self._size)
        expected = start - begin
        centre = _centre(impulse, round(expected), round(_LEAD_S * rate))
        count = self._low.size
        low = np.fft.irfft(spectrum[: count // 2 + 1] * self._low_edge[: count // 2 + 1], count)
        low_centre = round(centre * count / self._size)
        gains, noises = [], []
        for windows, response, at in ((self._low, low, low_centre), (self._high, impulse, centre)):
            gains.append(np.abs(windows.read(response, at)))
            quiet = [at + round(second * windows.rate) for second in _QUIET_S]
            noises.append(
                np.sqrt(
                    np.mean([np.abs(windows.read(response, far)) ** 2 for far in quiet], axis=0)
                )
            )
        gain, noise = np.maximum(np.concatenate(gains), 1e-9), np.concatenate(noises)
        around = np.arange(-CENTRE, 2 * CENTRE) + centre
        return Swept(
            sweep.level_db,
            20 * np.log10(gain),
            20 / math.log(10) * np.minimum(noise / gain, 1) / math.sqrt(2),
            impulse[around % self._size],
            centre - expected,
        )

    def _inverse_of(self, sweep: Section) -> np.ndarray:
        """One over the sweep's spectrum where it has one, at 0 dB below full scale."""
        seconds = np.arange(self._size) / self._alignment.rate_hz
        sent = section_at(self._plan, sweep, seconds) * 10 ** (-sweep.level_db / 20)
        spectrum = np.fft.rfft(sent.astype(np.float32))
        band = self._band()
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where(band > 0, band / spectrum, 0).astype(np.complex64)

    def _band(self) -> np.ndarray:
        hertz = np.fft.rfftfreq(self._size, 1 / self._alignment.rate_hz)
        (none, low), (high, end) = _EDGES_HZ
        return (_rise(hertz, none, low) * _fall(hertz, high, end)).astype(np.float32)


class _Windows:
    """Frequencies, each with its window: what a response is at them, as if its band had no edges."""

    def __init__(self, hertz: list[float], rate: float, size: int, band: np.ndarray):
        self.rate, self.size = rate, size
        before = min(BEFORE / hertz[0], MOST_S[0])
        after = min(AFTER / hertz[0], MOST_S[1])
        self._places = np.arange(-math.ceil(before * rate), math.ceil(after * rate) + 1)
        seconds = self._places / rate
        self._rows = np.empty((len(hertz), seconds.size), np.complex64)
        for row, each in zip(self._rows, hertz, strict=True):
            span = np.where(
                seconds < 0,
                -seconds / min(BEFORE / each, MOST_S[0]),
                seconds / min(AFTER / each, MOST_S[1]),
            )
            row[:] = _fall(span, 0.5, 1.0) * np.exp(-2j * np.pi * each * seconds)
        flat = np.fft.irfft(band, size)
        self._flat = self._rows @ flat[self._places % size].astype(np.float32)

    def read(self, impulse: np.ndarray, centre: int) -> np.ndarray:
        return (self._rows @ impulse[(self._places + centre) % self.size]) / self._flat


def _centre(impulse: np.ndarray, expected: int, within: int) -> int:
    near = np.abs(impulse[expected - within : expected + within])
    return int(near.argmax()) + expected - within


def _rise(x: np.ndarray, start: float, end: float) -> np.ndarray:
    return 0.5 - 0.5 * np.cos(np.pi * np.clip((x - start) / (end - start), 0, 1))


def _fall(x: np.ndarray, start: float, end: float) -> np.ndarray:
    return 1 - _rise(x, start, end)


def _quick(count: int) -> int:
    """The next even number that only has small primes: what a transform takes least time for."""
    while True:
        left = count
        for prime in (2, 3, 5):
            while left % prime == 0:
                left //= prime
        if left == 1 and count % 2 == 0:
            return count
        count += 1
