"""What a chain gives while nothing is played: noise and hum."""

import math

import numpy as np

from gear.audio.proving.steady import decibels
from gear.audio.proving.weighting import a_weighting

BAND_HZ = (20.0, 20_000.0)
#: Mains of the world, and how far its frequency strays.
MAINS_HZ, STRAY = (50.0, 60.0), 0.01
HUMS = 10
#: A line so far above the noise beside it is hum.
_STANDS_OUT_DB = 15.0
_BLOCK_S = 1.0
#: What rounding to 24 bits makes, 2^-23 / sqrt(12) by a step's even spread, as the sine of that power: where
#: nothing is heard at all, as a path without converters gives, no less is told.
QUIETEST_DBFS = 20 * math.log10(2**-23 / math.sqrt(6))


def noise(
    samples: np.ndarray, rate_hz: float
) -> tuple[float, float, tuple[tuple[float, float], ...]]:
    """Noise from 20 Hz to 20 kHz with the hum in it, the same A-weighted, and the hum alone as pairs
    of frequency and level, lowest first.

    All in dBFS as a sine's peak: noise is given as the sine of the same power, as AES17 counts it, so that
    a studio's alignment turns it into dBu (RMS) like any other level.
    samples: one channel, a second or more, full scale 1.
    """
    hertz, power = _spectrum(samples, rate_hz)
    heard = (hertz >= BAND_HZ[0]) & (hertz <= BAND_HZ[1])
    total = power[heard].sum()
    weighted = (power[heard] * a_weighting(hertz[heard]) ** 2).sum()
    levels = (max(decibels(math.sqrt(each)), QUIETEST_DBFS) for each in (total, weighted))
    return *levels, _hum(samples, rate_hz)


def _spectrum(samples: np.ndarray, rate_hz: float) -> tuple[np.ndarray, np.ndarray]:
    """Frequencies and the power of each bin, a full-scale sine's being 1 in all: the mean of half
    overlapping blocks (Welch, IEEE Trans. Audio Electroacoust. 15(2), 1967)."""
    count = min(round(_BLOCK_S * rate_hz), samples.size) // 256 * 256
    window = np.hanning(count + 1)[:-1]
    starts = range(0, samples.size - count + 1, count // 2)
    blocks = np.stack([window * samples[start : start + count] for start in starts])
    power = (np.abs(np.fft.rfft(blocks)) ** 2).mean(axis=0)
    # Two for both halves of the spectrum, two since a sine's power is half the square of its peak.
    return np.fft.rfftfreq(count, 1 / rate_hz), 4 * power / (count * (window**2).sum())


def _hum(samples: np.ndarray, rate_hz: float) -> tuple[tuple[float, float], ...]:
    """Of the mains frequency that shows more power."""
    count = samples.size // 256 * 256
    window = np.hanning(count + 1)[:-1]
    spectrum = np.abs(2 / window.sum() * np.fft.rfft(window * samples[:count])) ** 2
    step = rate_hz / count
    found = [_lines(spectrum, step, mains) for mains in MAINS_HZ]
    best = max(found, key=lambda lines: sum(10 ** (level / 10) for _, level in lines))
    return tuple(best)


def _lines(spectrum: np.ndarray, step: float, mains: float) -> list[tuple[float, float]]:
    lines = []
    for number in range(1, HUMS + 1):
        middle, width = number * mains / step, max(2, math.ceil(number * mains * STRAY / step))
        low, high = round(middle) - width, round(middle) + width + 1
        at = low + int(np.argmax(spectrum[low:high]))
        beside = np.concatenate([spectrum[at - 16 : at - 3], spectrum[at + 4 : at + 17]])
        around = float(np.median(beside) / math.log(2))
        # Hann's window spreads a line's power over 1.5 bins, whichever lie under it.
        own = spectrum[at - 2 : at + 3].sum() / 1.5 - 5 / 1.5 * around
        if own > around * 10 ** (_STANDS_OUT_DB / 10):
            lines.append((number * mains, 10 * math.log10(own)))
    return lines
