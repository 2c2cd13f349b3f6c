"""A steady sine in a recording: how large it is, where it stands, and what it brings along."""

import math
from dataclasses import dataclass

import numpy as np

#: Harmonics from the second to this one.
LAST_HARMONIC = 10
#: What lies so far above the noise that is read with it is read to half a decibel 99 times in 100.
_CLEAR_DB = 30.0
#: The noise beside a harmonic is that of the bins from here to there, clear of the window's main lobe, and of
#: that of the next harmonic. Of so many that its own chance counts little.
_BESIDE, _LOBE = (4, 60), 8
#: Harmonics are read through a window that is flat but for an eighth at each end, which lets in less noise than
#: Hann's: what it lets in, in bins (Harris, Proc. IEEE 66(1), 1978, table 1), and Hann's.
_EDGE, _FLAT_BINS, _HANN_BINS = 1 / 8, 1.102, 1.5


@dataclass(frozen=True)
class Steady:
    """amplitude, full scale is 1: a sin(2 pi f t + phase), phase in radians at the first sample.

    powers: those of the second harmonic to the tenth as squares of their amplitudes, with the noise
    that is among them; noises: how much noise that is, measured beside them. NaN stands at those
    that the sample rate doesn't carry.
    """

    amplitude: float
    phase: float
    powers: np.ndarray
    noises: np.ndarray

    @property
    def dbfs(self) -> float:
        return decibels(self.amplitude)

    def harmonic_db(self, number: int) -> float | None:
        """Against the fundamental; None where noise hides it or the rate doesn't carry it."""
        return self._against(self.powers[number - 2], self.noises[number - 2])

    @property
    def harmonics_db(self) -> float | None:
        """All of them together, as powers add."""
        return self._against(np.nansum(self.powers), np.nansum(self.noises))

    @property
    def phase_doubt(self) -> float:
        """By how much noise lets the phase be off, in radians (standard deviation)."""
        return math.sqrt(self.noises[0] * _HANN_BINS / _FLAT_BINS / 2) / max(self.amplitude, 1e-12)

    def _against(self, power: float, noise: float) -> float | None:
        own = power - noise
        if not own > noise * 10 ** (_CLEAR_DB / 10) or self.amplitude == 0:
            return None
        return 10 * math.log10(own / self.amplitude**2)


def tone(samples: np.ndarray, rate_hz: float, hertz: float) -> Steady:
    """Reads a sine of a known frequency, by the transform of Hann's window at that very frequency, so that neither
    hum nor a direct part leaks in from tens of Hz away; its multiples in what is left without it, by that of a flatter window.

    samples: one channel of twenty periods or more, full scale 1; rate_hz: their true rate. If that is
    wrong, the phase is right in their middle.
    """
    count = samples.size // 256 * 256  # a length that a fast transform takes well
    window = np.hanning(count + 1)[:-1]
    windowed = window * samples[:count]
    turn = np.exp(-2j * np.pi * hertz / rate_hz * np.arange(count))
    scale = 2 / window.sum()
    fundamental = scale * (windowed @ turn)

    flat = _flat_window(count)
    heard = 2 / flat.sum() * flat * (samples[:count] - (fundamental * np.conj(turn)).real)
    far = min(_BESIDE[1], int(hertz * count / rate_hz) - _LOBE)
    spectrum = np.abs(scale * np.fft.rfft(windowed)) ** 2
    powers, noises = np.full((2, LAST_HARMONIC - 1), np.nan)
    power_of_turn = turn
    for number in range(2, LAST_HARMONIC + 1):
        bin_ = number * hertz * count / rate_hz
        if bin_ + far > count / 2:
            break
        power_of_turn = power_of_turn * turn
        powers[number - 2] = abs(heard @ power_of_turn) ** 2
        noises[number - 2] = _noise_beside(spectrum, round(bin_), far) * _FLAT_BINS / _HANN_BINS
    # Sines, not cosines: a quarter turn on.
    phase = np.angle(1j * fundamental)
    return Steady(float(abs(fundamental)), float(phase), powers, noises)


def decibels(amplitude: float) -> float:
    return 20 * math.log10(amplitude) if amplitude > 0 else -math.inf


def _flat_window(count: int) -> np.ndarray:
    at = (np.arange(count) + 0.5) / count
    return 0.5 - 0.5 * np.cos(np.pi * np.minimum(np.minimum(at, 1 - at) / _EDGE, 1))


def _noise_beside(spectrum: np.ndarray, middle: int, far: int) -> float:
    """The mean, by the median: the power of noise in a bin is spread exponentially, and a spur counts once."""
    near = _BESIDE[0]
    left = spectrum[max(middle - far, 0) : max(middle - near, 0)]
    right = spectrum[middle + near + 1 : middle + far + 1]
    return float(np.median(np.concatenate([left, right])) / math.log(2))
