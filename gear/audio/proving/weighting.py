"""A-weighting, which counts a noise as the ear does at low levels: IEC 61672-1, Annex E."""

import math

import numpy as np


def _poles_hz() -> tuple[float, float, float, float]:
    """The standard gives them by what the curve was drawn through: corners at 10^1.5 and 10^3.9 Hz
    where C-weighting is 3 dB down, and 10^2.45 Hz for the second pair."""
    low, high, middle, half = 10**1.5, 10**3.9, 10**2.45, math.sqrt(0.5)
    product = (low * high) ** 2
    total = (1000**2 + product / 1000**2 - half * (low**2 + high**2)) / (1 - half)
    root = math.sqrt(total**2 - 4 * product)
    outer = math.sqrt((-total - root) / 2), math.sqrt((-total + root) / 2)
    inner = middle * (3 - math.sqrt(5)) / 2, middle * (3 + math.sqrt(5)) / 2
    return min(outer), *inner, max(outer)


POLES_HZ = _poles_hz()


def a_weighting(hertz: np.ndarray) -> np.ndarray:
    """The factor of amplitude at each frequency in Hz: 1 at 1 kHz, 0 at 0 Hz."""
    return _unscaled(np.asarray(hertz, float)) / _unscaled(np.array(1000.0))


def _unscaled(hertz: np.ndarray) -> np.ndarray:
    first, second, third, fourth = (pole**2 for pole in POLES_HZ)
    square = hertz**2
    middle = np.sqrt((square + second) * (square + third))
    return square**2 / ((square + first) * middle * (square + fourth))
