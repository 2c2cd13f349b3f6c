"""Loudness (ITU-R BS.1770-5), its maxima (EBU Tech 3341) and its range (EBU Tech 3342)."""

import math
from array import array

import numpy as np

from .kweighting import BLOCK, KWeighting

# EBU Tech 3341: a short tone between silences reads right only where the window moves in steps
# that are short against it (case 13: up to 0.45 LU too low by steps of 100 ms).
STEPS_A_SECOND = 100
MOMENTARY_STEPS, SHORT_TERM_STEPS = 40, 300

# Windows of the gated figures overlap by 75 % and more: one each 100 ms.
STEPS_A_TENTH = 10

ABSOLUTE_GATE_LUFS = -70.0
INTEGRATED_GATE_LU = -10.0
RANGE_GATE_LU, RANGE_PERCENTILES = -20.0, (10, 95)


class Loudness:
    """Measures a stream of channels, each with its weight. All figures are None where no window
    fits into the sound or nothing passes; of each hour it keeps 0.3 MB."""

    def __init__(self, rate: int, weights: list[float]):
        self._step = round(rate / STEPS_A_SECOND)
        self._counting = np.flatnonzero(weights)
        self._weights = np.array(weights)[self._counting] / self._step
        self._filter = KWeighting(rate, len(self._counting))
        self._recent = self._part_of_tenth = np.empty(0)
        self._tenths = array("d")
        self._loudest = {MOMENTARY_STEPS: 0.0, SHORT_TERM_STEPS: 0.0}

    @classmethod
    def frames_at_once(cls, rate: int) -> int:
        """`add` takes multiples of it: whole steps, and whole blocks of the filter."""
        return math.lcm(round(rate / STEPS_A_SECOND), BLOCK)

    def add(self, samples: np.ndarray, frames: int) -> None:
        """Samples shaped (channels, frames); only the last may be filled up after `frames`."""
        if len(self._counting) < len(samples):
            samples = samples[self._counting]
        steps = self._filter.weighted(samples).reshape(len(samples), -1, self._step)
        powers = self._weights @ np.einsum("cst,cst->cs", steps, steps)
        self._add_steps(powers[: frames // self._step])

    def _add_steps(self, powers: np.ndarray) -> None:
        recent = np.concatenate([self._recent, powers])
        sums = np.concatenate([[0.0], np.cumsum(recent)])
        for steps in self._loudest:
            if len(recent) >= steps:
                loudest = (sums[steps:] - sums[:-steps]).max() / steps
                self._loudest[steps] = max(self._loudest[steps], loudest)
        self._recent = recent[-(SHORT_TERM_STEPS - 1) :]
        powers = np.concatenate([self._part_of_tenth, powers])
        whole = len(powers) // STEPS_A_TENTH * STEPS_A_TENTH
        self._tenths.extend(powers[:whole].reshape(-1, STEPS_A_TENTH).mean(axis=1))
        self._part_of_tenth = powers[whole:]

    @property
    def max_momentary_lufs(self) -> float | None:
        return _lufs_or_none(self._loudest[MOMENTARY_STEPS])

    @property
    def max_short_term_lufs(self) -> float | None:
        return _lufs_or_none(self._loudest[SHORT_TERM_STEPS])

    @property
    def integrated_lufs(self) -> float | None:
        kept = self._gated(MOMENTARY_STEPS, INTEGRATED_GATE_LU)
        return _rounded(_lufs(kept.mean())) if len(kept) else None

    @property
    def range_lu(self) -> float | None:
        kept = self._gated(SHORT_TERM_STEPS, RANGE_GATE_LU)
        if not len(kept):
            return None
        low, high = np.percentile(_lufs(kept), RANGE_PERCENTILES)
        return _rounded(high - low)

    def _gated(self, steps: int, relative_gate: float) -> np.ndarray:
        """Powers of the windows that pass both gates, the second of which is set by the first."""
        tenths = steps // STEPS_A_TENTH
        if len(self._tenths) < tenths:
            return np.empty(0)
        windows = np.lib.stride_tricks.sliding_window_view(np.array(self._tenths), tenths)
        powers = windows.mean(axis=1)
        kept = powers[powers > _power(ABSOLUTE_GATE_LUFS)]
        if len(kept):
            kept = kept[kept > kept.mean() * 10 ** (relative_gate / 10)]
        return kept


def _lufs(power):
    return -0.691 + 10 * np.log10(power)


def _power(lufs: float) -> float:
    return 10 ** ((lufs + 0.691) / 10)


def _rounded(figure) -> float:
    """The order of sums, which is the processor's affair, shows in the ninth decimal."""
    return round(float(figure), 3)


def _lufs_or_none(power: float) -> float | None:
    return _rounded(_lufs(power)) if power > 0 else None
