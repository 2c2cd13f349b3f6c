"""Stages whose response is known in closed form, as analogue circuits have it: s is j f / f0.

Peak and shelves are the analogue prototypes of Bristow-Johnson's "Cookbook formulae for audio
equalizer biquad filter coefficients" (W3C Working Group Note, 2021); passes are Butterworth's.
"""

from dataclasses import dataclass

import numpy as np
from scipy import signal


@dataclass(frozen=True)
class Gain:
    db: float

    def response(self, hertz: np.ndarray) -> np.ndarray:
        return np.full(np.shape(hertz), 10 ** (self.db / 20), complex)


@dataclass(frozen=True)
class Peak:
    hertz: float
    db: float
    q: float = 1.0

    def response(self, hertz: np.ndarray) -> np.ndarray:
        a = 10 ** (self.db / 40)
        return _freqs([1, a / self.q, 1], [1, 1 / (a * self.q), 1], hertz / self.hertz)


@dataclass(frozen=True)
class LowShelf:
    hertz: float  # where half of its decibels are reached
    db: float
    q: float = 2**-0.5

    def response(self, hertz: np.ndarray) -> np.ndarray:
        a = 10 ** (self.db / 40)
        bend = a**0.5 / self.q
        over, under = [a, a * bend, a * a], [a, bend, 1]
        return _freqs(over, under, hertz / self.hertz)


@dataclass(frozen=True)
class HighShelf:
    hertz: float
    db: float
    q: float = 2**-0.5

    def response(self, hertz: np.ndarray) -> np.ndarray:
        a = 10 ** (self.db / 40)
        bend = a**0.5 / self.q
        over, under = [a * a, a * bend, a], [1, bend, a]
        return _freqs(over, under, hertz / self.hertz)


@dataclass(frozen=True)
class HighPass:
    hertz: float
    order: int = 2

    def response(self, hertz: np.ndarray) -> np.ndarray:
        over, under = signal.butter(self.order, 1, "highpass", analog=True)
        return _freqs(over, under, hertz / self.hertz)


@dataclass(frozen=True)
class LowPass:
    hertz: float
    order: int = 2

    def response(self, hertz: np.ndarray) -> np.ndarray:
        over, under = signal.butter(self.order, 1, "lowpass", analog=True)
        return _freqs(over, under, hertz / self.hertz)


def _freqs(over, under, ratio) -> np.ndarray:
    return signal.freqs(over, under, worN=np.atleast_1d(ratio))[1]
