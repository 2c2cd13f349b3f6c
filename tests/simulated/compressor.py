"""A compressor of the published kind: Giannoulis, Massberg and Reiss, "Digital Dynamic Range Compressor
Design – A Tutorial and Analysis", JAES 60(6), 2012: feed-forward, the detector in decibels behind the
gain computer."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numba import njit


@dataclass(frozen=True)
class Compressor:
    """Times are the detector's time constants. Of its kinds, "decoupled" is the paper's equation 17 and
    "branching" its equation 16, both on the peak; "rms" takes the mean square over rms_ms first, in
    sine's terms, and then branches. What a sine meets differs from these figures a little: `truth_of`
    runs the loop and says by how much."""

    threshold_dbfs: float
    ratio: float
    knee_db: float = 0.0
    attack_ms: float = 10.0
    release_ms: float = 200.0
    make_up_db: float = 0.0
    detector: Literal["decoupled", "branching", "rms"] = "decoupled"
    rms_ms: float = 5.0

    def gain_db(self, samples: np.ndarray, rate_hz: float) -> np.ndarray:
        """The gain at every sample, make-up and all."""
        kind = ("decoupled", "branching", "rms").index(self.detector)
        return self.make_up_db - _reduction(
            np.ascontiguousarray(samples),
            kind,
            self.threshold_dbfs,
            1 - 1 / self.ratio,
            self.knee_db,
            np.exp(-1000 / (self.attack_ms * rate_hz)),
            np.exp(-1000 / (self.release_ms * rate_hz)),
            np.exp(-1000 / (self.rms_ms * rate_hz)),
        )

    def apply(self, samples: np.ndarray, rate_hz: float) -> np.ndarray:
        gain = self.gain_db(samples, rate_hz)
        gain *= np.log(10) / 20
        return np.multiply(samples, np.exp(gain, out=gain), out=gain)

    def ripple_db(self, hertz: np.ndarray) -> np.ndarray:
        """By how much a steady sine drives the detector beyond its level at most: one pole on the square lets
        twice the frequency through by 1/sqrt(1 + (2 omega tau)²), up to 3 dB at the bottom."""
        if self.detector != "rms":
            return np.zeros_like(hertz)
        turn = 4e-3 * np.pi * hertz * self.rms_ms
        return 10 * np.log10(1 + 1 / np.sqrt(1 + turn**2))

    def static_reduction_db(self, dbfs: np.ndarray) -> np.ndarray:
        """By the gain computer alone."""
        return static_reduction_db(dbfs, self.threshold_dbfs, 1 - 1 / self.ratio, self.knee_db)


def static_reduction_db(dbfs, threshold, slope, knee) -> np.ndarray:
    """Giannoulis et al. 2012, equation 4, as what is taken away; slope is 1 - 1/ratio."""
    over = np.asarray(dbfs) - threshold
    bend = slope * np.clip(over + knee / 2, 0, knee) ** 2 / max(2 * knee, 1e-9)
    return np.where(2 * over >= knee, slope * over, bend)


@njit(cache=True)
def _reduction(samples, kind, threshold, slope, knee, attack, release, window):
    """In decibels, not negative."""
    made = np.empty_like(samples)
    # Below the knee there is nothing to reduce, and no logarithm to be taken.
    floor = 10 ** ((threshold - knee / 2) / 20)
    square = peak = smooth = 0.0
    for at in range(samples.size):
        size = float(abs(samples[at]))
        if kind == 2:
            square = window * square + (1 - window) * size * size
            size = np.sqrt(2 * square)
        wanted = 0.0
        if size > floor:
            over = 20 * np.log10(size) - threshold
            if 2 * over >= knee:
                wanted = slope * over
            else:
                wanted = slope * (over + knee / 2) ** 2 / (2 * knee)
        if kind == 0:
            peak = max(wanted, release * peak + (1 - release) * wanted)
            smooth = attack * smooth + (1 - attack) * peak
        elif wanted > smooth:
            smooth = attack * smooth + (1 - attack) * wanted
        else:
            smooth = release * smooth + (1 - release) * wanted
        made[at] = smooth
    return made
