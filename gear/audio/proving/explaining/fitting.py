"""Bounded least squares of a few numbers: Levenberg's and Marquardt's damping (SIAM J. Appl. Math. 11(2),
1963), what rests on a bound held there while the others move."""

from collections.abc import Callable

import numpy as np

_STEP = 1e-4
_FAIREST, _DAMPING, _MOST_DAMPING = 1e-4, 1e-3, 1e6


def least_squares(
    residuals: Callable[[np.ndarray], np.ndarray],
    start: np.ndarray,
    low: np.ndarray,
    high: np.ndarray,
    *,
    rounds: int = 15,
) -> tuple[np.ndarray, float]:
    """Where the sum of the squared residuals is least between the bounds, as far as it is found from the
    start, and that sum."""
    x = np.clip(start, low, high)
    found = residuals(x)
    cost, damping = float(found @ found), _DAMPING
    for _ in range(rounds):
        slopes = _slopes(residuals, x, found, high)
        downhill = slopes.T @ found
        moves = ~((x <= low) & (downhill > 0) | (x >= high) & (downhill < 0))
        if not moves.any():
            break
        before = cost
        while damping < _MOST_DAMPING:
            x_next = np.clip(x - _step(slopes, downhill, moves, damping), low, high)
            found_next = residuals(x_next)
            cost_next = float(found_next @ found_next)
            if cost_next < cost:
                x, found, cost, damping = x_next, found_next, cost_next, damping / 5
                break
            damping *= 5
        if before - cost <= _FAIREST * max(cost, 1e-9):
            break
    return x, cost


def _step(
    slopes: np.ndarray, downhill: np.ndarray, moves: np.ndarray, damping: float
) -> np.ndarray:
    normal = slopes[:, moves].T @ slopes[:, moves]
    scale = np.diag(normal) + 1e-9
    step = np.zeros(moves.size)
    step[moves] = np.linalg.solve(normal + np.diag(damping * scale), downhill[moves])
    return step


def _slopes(residuals, x: np.ndarray, found: np.ndarray, high: np.ndarray) -> np.ndarray:
    columns = []
    for n in range(x.size):
        moved = x.copy()
        moved[n] += _STEP if x[n] + _STEP <= high[n] else -_STEP
        columns.append((residuals(moved) - found) / (moved[n] - x[n]))
    return np.stack(columns, axis=1)
