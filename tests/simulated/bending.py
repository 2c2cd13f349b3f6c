"""Stages that bend the waveform at once, without memory."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Polynomial:
    """y = x + second x² + third x³, full scale 1. On a sine of amplitude A the second harmonic is
    second A²/2 and the third third A³/4."""

    second: float = 0.0
    third: float = 0.0

    def apply(self, samples: np.ndarray, rate_hz: float) -> np.ndarray:
        bent = self.third * samples
        for factor in (self.second, 1):
            bent += factor
            bent *= samples
        return bent


@dataclass(frozen=True)
class Clipping:
    """Nothing goes over this level."""

    dbfs: float

    def apply(self, samples: np.ndarray, rate_hz: float) -> np.ndarray:
        top = 10 ** (self.dbfs / 20)
        return np.clip(samples, -top, top)
