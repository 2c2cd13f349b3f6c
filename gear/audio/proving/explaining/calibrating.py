"""The model brought to what was measured then: bands, ratio and knee within the doubt of their laws, the
threshold and the level wherever they are."""

from dataclasses import dataclass

import numpy as np

from gear.audio.proving.explaining.difference import Rows
from gear.audio.proving.explaining.fitting import least_squares
from gear.audio.proving.explaining.predicting import GRID_HZ, Predictor, Slot

#: What a chain does besides its controls, in dB: transformers and the like. Ours, no source.
_OTHERS_DB = 0.15
#: A panel counts its threshold from a reference of its own, which lies within so many dB of ours.
_REFERENCES_DB = np.arange(-36.0, 36.1, 1.5)
#: So near do engraved figures come if they hold, where what they do is this much or more.
_AS_ENGRAVED_DB, _SHOWN_DB = 0.15, 2.0
_WIDTH = 4  # times the doubt
_LIMITS = {"knee": (0.0, 40.0), "ratio": (0.0, 0.99)}


@dataclass(frozen=True)
class Calibration:
    """x: the coordinates at which the model does what was measured then. is_rough: that takes other
    figures than those engraved, or nothing that was measured then shows that they hold."""

    x: np.ndarray
    is_rough: bool


def calibrated(predict: Predictor, rows: Rows) -> Calibration:
    """By the engraved figures, if those give what was measured then; else within the doubt of the laws."""
    start, known = _referred(predict, rows, predict.logged), rows.sure > 0
    engraved = _fitted(predict, rows, start, [n for n, slot in _doubted(predict) if slot.is_free])
    done = predict(engraved, rows.sweeps_in[0])
    off = rows.centred(rows.then - done, rows.sure)[known]
    shape = rows.centred(done, rows.sure)[: GRID_HZ.size]
    if abs(off).max() <= _AS_ENGRAVED_DB and abs(shape).max() >= _SHOWN_DB:
        return Calibration(engraved, is_rough=False)
    return Calibration(
        _fitted(predict, rows, start, [n for n, _ in _doubted(predict)]), is_rough=True
    )


def _doubted(predict: Predictor) -> list[tuple[int, Slot]]:
    return [(n, slot) for n, slot in enumerate(predict.slots) if slot.doubt > 0]


def _fitted(predict: Predictor, rows: Rows, start: np.ndarray, free: list[int]) -> np.ndarray:
    doubts = np.array([predict.slots[n].doubt for n in free])
    limits = [_limits(predict, start, n) for n in free]
    low, high = (np.array(each) for each in zip(*limits, strict=True))
    centre, known = start[free], rows.sure > 0
    sure = np.where(known, 1 / np.hypot(_OTHERS_DB, 1 / np.where(known, rows.sure, 1)), 0.0)

    def residuals(at: np.ndarray) -> np.ndarray:
        x = start.copy()
        x[free] = at
        error = rows.centred(rows.then - predict(x, rows.sweeps_in[0]), sure) * sure
        return np.concatenate([error, (at - centre) / doubts])

    x = start.copy()
    x[free], _ = least_squares(residuals, centre, low, high, rounds=30)
    return x


def _referred(predict: Predictor, rows: Rows, x: np.ndarray) -> np.ndarray:
    """With thresholds by the reference that the curve speaks for, the nearest if several do, and so
    much elsewhere that the softest level comes out as it did."""
    thresholds = [n for n, slot in enumerate(predict.slots) if slot.meaning == "threshold"]
    tried = []
    for by in sorted(_REFERENCES_DB, key=abs) if thresholds else [0.0]:
        moved = x.copy()
        moved[thresholds] += by
        curve = rows.then[GRID_HZ.size :] - predict(moved)[GRID_HZ.size :]
        moved[-1] += curve[0]
        tried.append((round(float(((curve - curve[0]) ** 2).sum()), 3), moved))
    return min(tried, key=lambda pair: pair[0])[1]


def _limits(predict: Predictor, x: np.ndarray, n: int) -> tuple[float, float]:
    slot = predict.slots[n]
    low, high = _LIMITS.get(slot.meaning, (-np.inf, np.inf))
    width = _WIDTH * slot.doubt
    if slot.meaning == "threshold":
        width += _REFERENCES_DB[-1]
    return max(low, x[n] - width), min(high, x[n] + width)
