"""Samples taken by another clock, by a windowed sinc: exact to 140 dB for what lies in the lower half of
the band."""

import numpy as np
from numba import njit
from scipy.signal.windows import kaiser

HALF, PHASES = 14, 8192
# Kaiser's window for 150 dB: beta = 0.1102 (150 - 8.7).
_AT = np.arange(-HALF * PHASES, HALF * PHASES + 1) / PHASES
_WHOLE = np.sinc(_AT) * kaiser(_AT.size, 15.57)
# By tap and phase; a phase more than PHASES, for what lies between the last two.
_SINC = np.stack([_WHOLE[tap * PHASES : (tap + 1) * PHASES + 2] for tap in range(2 * HALF - 1)])


def sampled_at(samples: np.ndarray, times: int, ppm: float) -> np.ndarray:
    """Every so many of them, as a clock that runs fast by that takes them."""
    if ppm == 0:
        return samples[::times].copy()
    step = times / (1 + ppm * 1e-6)
    padded = np.pad(samples, HALF)
    return _interpolated(padded, step, int(samples.size / step), _SINC)


@njit(cache=True, fastmath=True)
def _interpolated(padded, step, count, sinc):
    """The sample at 0 stands HALF samples from the start of what is padded."""
    taken = np.empty(count, padded.dtype)
    for number in range(count):
        at = number * step
        whole = int(at)
        # Of the sinc's table: the step before and the share of the next.
        place = (1 - (at - whole)) * PHASES
        before = int(place)
        low = high = 0.0
        for tap in range(2 * HALF - 1):
            sample = padded[whole + 1 + tap]
            low += sample * sinc[tap, before]
            high += sample * sinc[tap, before + 1]
        taken[number] = low + (place - before) * (high - low)
    return taken
