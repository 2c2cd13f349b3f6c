"""Which way up a chain passes sound, and how late, with its minimum phase taken out.

An equaliser turns the phase without turning the polarity: what it must turn for its response (the Hilbert
transform of the logarithm of the gain) is taken off first; what is left is a delay and a sign.
"""

import numpy as np

from gear.audio.proving.marks import peak_between

_FINER = 16
#: Where the phase is read: where every chain passes sound.
_BAND_HZ = (60.0, 200.0), (14_000.0, 18_000.0)
_KNOWN_HZ = 25.0, 19_500.0
#: What is left of the phase has to be a delay and a sign to that degree.
LEAST_SURE = 0.5


def delay_and_polarity(impulse: np.ndarray, rate_hz: float) -> tuple[float, int | None]:
    """From the start of the impulse response to where its minimum phase leaves it, in samples; 1 or -1,
    None where what is left is neither way up."""
    size = 4 << (len(impulse) - 1).bit_length()
    spectrum = np.fft.rfft(impulse.astype(np.float64), size)
    hertz = np.fft.rfftfreq(size, 1 / rate_hz)
    left = spectrum * np.exp(-1j * _minimum_phase(np.abs(spectrum), hertz))
    size_of = np.abs(spectrum)
    weight = _weight(hertz) * np.minimum(1, size_of / (0.05 * np.median(size_of[_inside(hertz)])))
    left = weight * left / np.maximum(size_of, 1e-12)
    pulse = np.fft.irfft(np.concatenate([left, np.zeros((_FINER - 1) * size // 2)]), _FINER * size)
    at = int(np.abs(pulse).argmax())
    sure = abs(pulse[at]) * _FINER * size / (2 * weight.sum())
    return (at + peak_between(np.abs(pulse), at)) / _FINER, (
        int(np.sign(pulse[at])) if sure >= LEAST_SURE else None
    )


def _minimum_phase(gain: np.ndarray, hertz: np.ndarray) -> np.ndarray:
    """Of the gain, held as it is at the edges of what is known: by the folded cepstrum."""
    first, last = np.flatnonzero(_inside(hertz))[[0, -1]]
    gain = gain.copy()
    gain[:first] = gain[first]
    gain[last:] = gain[last]
    cepstrum = np.fft.irfft(np.log(np.maximum(gain, 1e-4 * gain.max())))
    half = len(cepstrum) // 2
    cepstrum[1:half] *= 2
    cepstrum[half + 1 :] = 0
    return np.fft.rfft(cepstrum).imag


def _inside(hertz: np.ndarray) -> np.ndarray:
    return (hertz >= _KNOWN_HZ[0]) & (hertz <= _KNOWN_HZ[1])


def _weight(hertz: np.ndarray) -> np.ndarray:
    (none, low), (high, end) = _BAND_HZ
    rise = np.clip((hertz - none) / (low - none), 0, 1)
    return (
        0.25
        * (1 - np.cos(np.pi * rise))
        * (1 + np.cos(np.pi * np.clip((hertz - high) / (end - high), 0, 1)))
    )
