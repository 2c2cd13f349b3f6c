"""By how many samples two sounds are apart, heard from the sounds alone."""

from collections.abc import Callable

import numpy as np

WINDOW = 1 << 20  # frames that are compared; found is a shift of up to half of it
AUDIBLE = 1e-4  # of full scale: where a sound begins
ABOUT_AS_GOOD = 0.999  # a shift nearer to none is taken before one that fits no better


def shift_between(reference: np.ndarray, other: np.ndarray) -> tuple[int, bool]:
    """How many samples later `other` is than `reference`, and whether it stands upside down there.

    The cross-correlation's greatest magnitude, by FFT over both (mono) sounds. Silence is not late.
    """
    size = 1 << (len(reference) + len(other) - 1).bit_length()
    spectra = np.conj(np.fft.rfft(reference, size)) * np.fft.rfft(other, size)
    correlation = np.fft.irfft(spectra, size)
    most = np.abs(correlation).max()
    if not most > 0:
        return 0, False
    fits = np.flatnonzero(np.abs(correlation) >= ABOUT_AS_GOOD * most)
    lags = np.where(fits > size // 2, fits - size, fits)
    nearest = int(np.abs(lags).argmin())
    return int(lags[nearest]), bool(correlation[fits[nearest]] < 0)


def first_sound(read: Callable[[int], tuple[np.ndarray, np.ndarray]], *, length: int):
    """The two sounds from where either begins to be heard, WINDOW frames or all there are.

    `read(count)` gives the next frames of both, mono; the longer has `length` of them. None where
    nothing is to be heard.
    """
    window = min(WINDOW, length)
    block = min(window, 1 << 16)
    for _ in range(0, length, block):
        one, other = read(block)
        if max(np.abs(one).max(), np.abs(other).max()) > AUDIBLE:
            more = read(window - block)
            return np.concatenate([one, more[0]]), np.concatenate([other, more[1]])
    return None
