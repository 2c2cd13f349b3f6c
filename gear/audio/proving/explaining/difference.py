"""Two measurements as rows of numbers: the response at GRID_HZ, then the levels out of the curve."""

from dataclasses import dataclass

import numpy as np

from gear.audio.proving.explaining.predicting import EVERY, GRID_HZ, TONE
from gear.audio.proving.explaining.proposal import Remainder
from gear.audio.proving.plan import SWEEP_DB
from gear.audio.proving.result import Result

#: How far two good measurements of one thing are apart, and two whose response depends on the level: the
#: gain doesn't follow a sweep quite as it follows a steady tone.
RESPONSE_DB, CURVE_DB, DEPENDING_DB = 0.04, 0.04, 0.1
#: So far below 1 kHz the response is not as sure.
_CLEAR_DB = 15.0
_FEWEST = 12


@dataclass(frozen=True)
class Rows:
    """then and by (now less then); sure is one over how far each may be off, 0 where one is unknown.
    sweeps_in: the level in of the sweep that the response was read from, then and now."""

    levels_in: np.ndarray
    sweeps_in: tuple[float, float]
    then: np.ndarray
    by: np.ndarray
    sure: np.ndarray

    def centred(self, error: np.ndarray, sure: np.ndarray) -> np.ndarray:
        """With the response's common offset out: the level is the curve's to tell."""
        response, weight = error[: GRID_HZ.size], sure[: GRID_HZ.size] ** 2
        offset = float(weight @ response) / max(float(weight.sum()), 1e-9)
        return np.concatenate([response - offset, error[GRID_HZ.size :]])


def rows_of(then: Result, now: Result) -> Rows | None:
    """None where too little is known of both."""
    before, after = (_response(result) for result in (then, now))
    known = np.isfinite(before) & np.isfinite(after)
    levels, out, out_now = _curves(then, now)
    if known.sum() < _FEWEST or levels.size < 2:
        return None
    sure = np.where(known, 1 / _doubt(before, after, then, now), 0.0)
    before, after = (np.where(known, each, 0.0) for each in (before, after))
    return Rows(
        levels,
        (_sweep_in(then), _sweep_in(now)),
        np.concatenate([before, out]),
        np.concatenate([after - before, out_now - out]),
        np.concatenate([sure, np.full(levels.size, 1 / CURVE_DB)]),
    )


def remainder(rows: Rows, less: np.ndarray) -> Remainder:
    """What such a difference comes to, in figures for the page."""
    known = rows.sure[: GRID_HZ.size] > 0
    response, curve = less[: GRID_HZ.size], less[GRID_HZ.size :]
    level = float(curve[0])
    rest = np.where(known, response - np.median(response[known]), 0.0)
    furthest, steepest = int(np.argmax(abs(rest))), int(np.argmax(abs(curve - level)))
    return Remainder(
        level,
        float(rest[furthest]),
        float(GRID_HZ[furthest]),
        float(curve[steepest] - level),
        float(rows.levels_in[steepest]),
    )


def _sweep_in(result: Result) -> float:
    """The curve ends at the file's ceiling, which the sweeps' levels count from. Where the response
    depends on the level it is the lowest sweep's."""
    level = result.response_level_db
    return max(level_in for level_in, _ in result.curve) + (SWEEP_DB[0] if level is None else level)


def _response(result: Result) -> np.ndarray:
    return np.array([np.nan if db is None else db for db in result.response_db[::EVERY]], float)


def _doubt(before: np.ndarray, after: np.ndarray, then: Result, now: Result) -> np.ndarray:
    depends = then.depends_on_level or now.depends_on_level
    least = DEPENDING_DB if depends else RESPONSE_DB
    below = np.minimum(before - before[TONE], after - after[TONE])
    return least * 10 ** (np.maximum(-_CLEAR_DB - np.nan_to_num(below), 0.0) / 20)


def _curves(then: Result, now: Result) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """At the levels in of then, within those of now; between two of its steps by a straight line."""
    if not then.curve or not now.curve:
        return np.array([]), np.array([]), np.array([])
    (levels, out), (levels_now, out_now) = (
        np.array(sorted(result.curve)).T for result in (then, now)
    )
    common = (levels >= levels_now[0] - 1e-6) & (levels <= levels_now[-1] + 1e-6)
    levels, out = levels[common], out[common]
    return levels, out, np.interp(levels, levels_now, out_now)
