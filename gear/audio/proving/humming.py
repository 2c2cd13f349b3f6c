"""The noise in a response, and the hum, by what is read of it where nothing of the sweep is left.

Noise is known by its power alone. Hum is a line that goes on: from what it is there follows what it was at the
centre, by the phase that it turns from place to place (a straight line in phase, carried on).
"""

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

#: After the centre of an impulse response. Even steps, and the centre is one of them: so nothing is lost where a line
#: lies further from the frequency that is read than steps tell apart.
STEP_S, STEPS = 0.4, np.arange(5, 10)
QUIET_S = tuple(float(second) for second in STEP_S * STEPS)
#: How many frequencies before and after one tell its noise, and from which ratio on it has some of its own.
_NEAR, _OWN = 6, 2.0
#: What carrying on a line that far makes of the noise beside it, as a power: 1.2 by its size, 2.4 by its turning
#: (the variance of a straight line through five points, read seven steps from their middle).
_CARRIED = 4.0
#: Of five readings, what a line of its size, phase and turning leaves over.
_LEFT = 5 / 3.5
_TURNS = np.linspace(-np.pi, np.pi, 2000, endpoint=False)


def hum_and_noise(quiet: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Of readings at QUIET_S (rows) at rising frequencies (columns), each turned back by its frequency: the line
    at each frequency as it is at the centre, 0 where none is clear, and the noise that is left, as RMS."""
    power = np.mean(np.abs(quiet) ** 2, axis=0)
    windows = sliding_window_view(np.pad(power, _NEAR, mode="reflect"), 2 * _NEAR + 1)
    around = np.median(windows, axis=1)
    hum, left = np.zeros(len(power), complex), np.where(power > _OWN * around, power, around)
    for at in np.flatnonzero(power > _CARRIED * around):
        line, rest = _line(quiet[:, at])
        carried = _CARRIED * max(around[at], _LEFT * rest)
        if carried < power[at]:
            hum[at], left[at] = line, carried
    return hum, np.sqrt(left)


def _line(quiet: np.ndarray) -> tuple[complex, float]:
    """At the centre, and the power that it doesn't explain."""
    turns = np.exp(1j * np.outer(_TURNS, STEPS))
    means = np.conj(turns) @ quiet / len(STEPS)
    best = int(np.abs(means).argmax())
    return means[best], float(np.mean(np.abs(quiet - means[best] * turns[best]) ** 2))
