"""Samples taken by another clock, by a windowed sinc: exact to 140 dB for what lies in the lower half of
the band."""

import numpy as np
from numba import njit
from scipy.signal.windows import kaiser

HALF, PHASES = 14, 8192
# Kaiser's window for 150 dB: beta = 0.1102 (150 - 8.7).
_AT = np.arange(-HALF * PHASES, HALF * PHASES + 1) / PHASES
_SINC = np.sinc(_AT) * kaiser(_AT.size, 15.57)


def sampled_at(samples: np.ndarray, times: int, ppm: float) -> np.ndarray:
    """Every so many of them, as a clock that runs fast by that takes them."""
    if ppm == 0:
        return samples[::times].copy()
    step = times / (1 + ppm * 1e-6)
    return _interpolated(samples, step, int((samples.size - HALF) / step), _SINC)


@njit(cache=True)
def _interpolated(samples, step, count, sinc):
    taken = np.empty(count)
    for number in range(count):
        at = number * step
        whole = int(at)
        # Of the sinc's table: the step before and the share of the next.
        place = (1 - (at - whole)) * PHASES
        before = int(place)
        share = place - before
        total = 0.0
        for tap in range(2 * HALF - 1):
            index = whole - HALF + 1 + tap
            if 0 <= index < samples.size:
                cell = tap * PHASES + before
                total += samples[index] * (sinc[cell] + share * (sinc[cell + 1] - sinc[cell]))
        taken[number] = total
    return taken
