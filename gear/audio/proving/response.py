"""The response of a chain from its sweeps, each held against the sweep as the return's own clock has it.

What comes back is divided by what was sent, frequency by frequency (Farina, AES 108th Convention, 2000, preprint
5093): harmonics then stand before the response to the fundamental, the second by L ln 2. Each frequency is read
through a window of its own of so many of its periods, so that noise counts the same at all of them.
"""

import math
from dataclasses import dataclass

import numpy as np

from gear.audio.proving.aligning import Alignment
from gear.audio.proving.humming import QUIET_S, hum_and_noise
from gear.audio.proving.plan import TAIL_S, Plan, Section
from gear.audio.proving.result import HERTZ
from gear.audio.proving.signal import section_at

#: Periods of a frequency that are read before and after the centre, and from which share on they fade out:
#: what comes late rings, what comes early is little.
BEFORE, AFTER = 30.0, 30.0
_FULL = 0.25, 0.5
#: At most so much, since the second harmonic stands 0.6 s before, and nothing rings for longer.
MOST_S = 0.5, 1.5
#: The response is read in two parts, the low one at a low rate.
_SPLIT_HZ, _LOW_HZ = 600.0, 1500.0
#: Where a sweep is divided by: from below what is read to just under its end.
_EDGES_HZ = (5.0, 9.0), (20_250.0, 20_450.0)
_LEAD_S = 0.05
#: Of the impulse response that is kept, how much lies before its centre.
CENTRE = 1 << 12
#: From where before the centre harmonics stand, up to the eleventh; until when after it something may ring.
_HARMONICS_S, _RINGING_S = 2.2, 1.5


@dataclass(frozen=True)
class Swept:
    """What one sweep tells. response: at HERTZ, its phase against the centre of the impulse response, which
    stands `centre` samples after the place that the alignment says; noise: what of it noise is (RMS); impulse:
    the response in time from CENTRE samples before the centre; strange: what came back that no chain makes of
    the sweep, from the sweep's start, against the sweep's peak."""

    level_db: float
    response: np.ndarray
    noise: np.ndarray
    impulse: np.ndarray
    centre: float
    strange: np.ndarray

    @property
    def gain_db(self) -> np.ndarray:
        return 20 * np.log10(np.maximum(np.abs(self.response), 1e-9))

    @property
    def uncertain_db(self) -> np.ndarray:
        """By how much noise lets each gain be off: the standard deviation."""
        share = np.minimum(self.noise / np.maximum(np.abs(self.response), 1e-9), 1)
        return 20 / math.log(10) / math.sqrt(2) * share


class Reader:
    """Reads the sweeps of one return: what depends on its clock alone is made once."""

    def __init__(self, plan: Plan, alignment: Alignment):
        self._plan, self._alignment = plan, alignment
        sweep = plan.of("sweep")[0]
        rate = alignment.rate_hz
        self._length = math.floor((_LEAD_S + sweep.length_s + TAIL_S) * rate)
        self._size = _quick(self._length)
        self._sent, edge = self._spectrum_of(sweep), self._band()
        with np.errstate(divide="ignore", invalid="ignore"):
            self._inverse = np.where(edge > 0, edge / self._sent, 0).astype(np.complex64)
        self._high = _Windows([f for f in HERTZ if f >= _SPLIT_HZ], rate, self._size, edge)
        few = 2 * round(_LOW_HZ * self._size / rate)
        self._low_edge = edge[: few // 2 + 1] * _fall(np.linspace(0, 1, few // 2 + 1), 0.67, 0.98)
        below = [f for f in HERTZ if f < _SPLIT_HZ]
        self._low = _Windows(below, rate * few / self._size, few, self._low_edge)

    def read(self, samples: np.ndarray, sweep: Section) -> Swept:
        rate = self._alignment.rate_hz
        start = self._alignment.sample_at(sweep.start_s)
        begin = math.floor(start - _LEAD_S * rate)
        heard = samples[max(begin, 0) : begin + self._length]
        spectrum = np.fft.rfft(heard - heard.mean(), self._size)
        spectrum *= self._inverse
        spectrum *= 10 ** (-(sweep.level_db + self._plan.ceiling_dbfs) / 20)
        impulse = np.fft.irfft(spectrum, self._size)
        expected = start - max(begin, 0)
        centre = _centre(impulse, round(expected), round(_LEAD_S * rate))
        few = self._low.size
        low = np.fft.irfft(spectrum[: few // 2 + 1] * self._low_edge, few)
        parts = ((self._low, low, round(centre * few / self._size)), (self._high, impulse, centre))
        around = np.arange(-CENTRE, 2 * CENTRE) + centre
        read = [windows.read(part, at) for windows, part, at in parts]
        return Swept(
            sweep.level_db,
            *(np.concatenate(each) for each in zip(*read, strict=True)),
            impulse[around % self._size],
            centre - expected,
            self._strange(impulse, centre, round(expected)),
        )

    def _strange(self, impulse: np.ndarray, centre: int, expected: int) -> np.ndarray:
        """What neither the response nor its harmonics are, in time again."""
        left, rate = impulse.copy(), self._alignment.rate_hz
        away = np.arange(-math.floor(_HARMONICS_S * rate), math.floor(_RINGING_S * rate)) + centre
        left[away % self._size] = 0
        spectrum = np.fft.rfft(left)
        spectrum *= self._sent
        return np.fft.irfft(spectrum, self._size)[expected : self._length]

    def _spectrum_of(self, sweep: Section) -> np.ndarray:
        """As it is sent at full scale."""
        seconds = np.arange(self._size) / self._alignment.rate_hz
        sent = section_at(self._plan, sweep, seconds) * 10 ** (-sweep.level_db / 20)
        return np.fft.rfft(sent.astype(np.float32))

    def _band(self) -> np.ndarray:
        hertz = np.fft.rfftfreq(self._size, 1 / self._alignment.rate_hz)
        (none, low), (high, end) = _EDGES_HZ
        return (_rise(hertz, none, low) * _fall(hertz, high, end)).astype(np.float32)


class _Windows:
    """Frequencies, each with its window: what a response is at them, as if its band had no edges."""

    def __init__(self, hertz: list[float], rate: float, size: int, band: np.ndarray):
        self.rate, self.size, self._hertz = rate, size, np.array(hertz)
        before = min(BEFORE / hertz[0], MOST_S[0])
        after = min(AFTER / hertz[0], MOST_S[1])
        self._places = np.arange(-math.ceil(before * rate), math.ceil(after * rate) + 1)
        seconds = self._places / rate
        self._rows = np.empty((len(hertz), seconds.size), np.complex64)
        for row, each in zip(self._rows, hertz, strict=True):
            early = _fall(-seconds / min(BEFORE / each, MOST_S[0]), _FULL[0], 1.0)
            late = _fall(seconds / min(AFTER / each, MOST_S[1]), _FULL[1], 1.0)
            row[:] = early * late * np.exp(-2j * np.pi * each * seconds)
        flat = np.fft.irfft(band, size)
        self._flat = self._rows @ flat[self._places % size].astype(np.float32)

    def read(self, impulse: np.ndarray, centre: int) -> tuple[np.ndarray, np.ndarray]:
        """The response, and what of it noise is (RMS): hum is taken off where it is clear."""
        steps = [round(second * self.rate) for second in QUIET_S]
        quiet = np.array([self._at(impulse, centre + step) for step in steps])
        seconds = np.array(steps) / self.rate
        hum, noise = hum_and_noise(quiet * np.exp(-2j * np.pi * np.outer(seconds, self._hertz)))
        return self._at(impulse, centre) - hum, noise

    def _at(self, impulse: np.ndarray, centre: int) -> np.ndarray:
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
