"""Which few controls, moved, make the model differ as the chain does: sets of one, two and three, each
fitted, the promising ones extended."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from gear.audio.proving.explaining.coordinates import positions
from gear.audio.proving.explaining.difference import Rows
from gear.audio.proving.explaining.fitting import least_squares
from gear.audio.proving.explaining.predicting import GRID_HZ, Predictor

#: At most so many controls are named; so many sets of a size are extended, each by so many controls.
MOST, KEPT, TRIED = 3, 12, 8
#: So much must a further control take off the sum of the squared errors. Ours, found on simulated chains.
WORTH = 40.0
#: What a move changes less than this is not named.
LEAST_EFFECT_DB = 0.35
#: How far from where it stood a control is looked for at first, in its coordinate.
_STARTS = {
    "band_frequency": (0.1, 0.3, 0.7, 1.4),
    "filter_frequency": (0.1, 0.3, 0.7, 1.4),
    "band_q": (0.2, 0.6),
    "ratio": (0.07, 0.2),
}
_STARTS_DB = (0.5, 1.5, 3.0, 6.0)
#: Of a model whose laws aren't known, so much of a difference is not made by moves as it says: of a
#: response's shape, and of a curve's.
_ROUGH_SHARES = 0.05, 0.02
#: What gives way there beside a move, in coordinates: the Q of its band, its frequency (more of one that was
#: flat, and showed nothing), and the level of a switch's steps, which are resistors. Ours, no source.
_ROUGH_Q, _ROUGH_HERTZ, _ROUGH_FLAT, _FLAT_DB = 0.25, 0.02, 0.08, 1.0
_ROUGH_STEPS_DB = 0.25
#: What the level may be off that no control gives: by how well a file is fed twice, or whatever it is.
FED_DB, ANY_DB = 0.05, 60.0
GAINS = {"gain", "output", "pad", "make_up"}


@dataclass(frozen=True)
class Fit:
    """moved: the slots that were moved, x where all stand then; cost is the sum of the squared errors,
    shape that of the errors apart from the level, which another control may give."""

    moved: frozenset[int]
    x: np.ndarray
    cost: float
    shape: float

    @property
    def score(self) -> float:
        """The less, the likelier: each control that was moved has to be worth it."""
        return self.cost + WORTH * len(self.moved)


class Search:
    """start: the model's coordinates as it was calibrated."""

    def __init__(
        self,
        predict: Predictor,
        rows: Rows,
        start: np.ndarray,
        *,
        is_rough: bool,
        elsewhere_db: float = FED_DB,
    ):
        self.predict, self.rows, self.start, self.is_rough = predict, rows, start, is_rough
        self.elsewhere_db = elsewhere_db
        self.before = predict(start, rows.sweeps_in[0])
        self.low, self.high = predict.bounds
        off = start - predict.logged
        self.low, self.high = self.low + np.minimum(off, 0), self.high + np.maximum(off, 0)
        self.sure = self._sure() if is_rough else rows.sure

    @cached_property
    def candidates(self) -> list[int]:
        """Slots of controls that change something; where any level may be elsewhere, no plain gains."""
        any_level = self.elsewhere_db == ANY_DB
        return [
            n
            for n, slot in enumerate(self.predict.slots)
            if slot.knob
            and slot.low < slot.high
            and self._changes(n)
            and not (any_level and slot.meaning in GAINS)
        ]

    def run(self) -> list[list[Fit]]:
        """The fits of each size, from nothing moved on, the best first; none two sizes above the best."""
        found = [[self.fitted((), self.start)]]
        for _ in range(MOST):
            made: dict[frozenset[int], Fit] = {}
            for fit in _by_either(found[-1], KEPT):
                for n, start in self._extensions(fit):
                    moved = fit.moved | {n}
                    better = self.settled(moved, start)
                    if moved not in made or better.cost < made[moved].cost:
                        made[moved] = better
            found.append(sorted(made.values(), key=lambda each: each.cost))
            if not made or found[-2][0].score <= found[-1][0].score:
                break
        return found

    def settled(self, moved: frozenset[int], start: np.ndarray) -> Fit:
        """Stepped controls beside others go to the positions next to where they would settle if they could."""
        sliding = [n for n in moved if self._is_held(n) and self._slides(n)]
        if not sliding or len(moved) == 1:
            return self.fitted(moved, start)
        x = self.fitted(moved, start, sliding=sliding).x.copy()
        for n in sliding:
            x[n] = min(self._places(n), key=lambda place, n=n: abs(place - x[n]))
            if x[n] == self.start[n]:
                return self.fitted(moved, start)
        return self.fitted(moved, x)

    def fitted(
        self, moved: Iterable[int], start: np.ndarray, *, sliding: Iterable[int] = ()
    ) -> Fit:
        """Stepped controls stay where the start has them, unless they are sliding; the others, and what
        gives way with them, settle where the errors are least."""
        moved = frozenset(moved)
        giving = self._giving(moved)
        free = [n for n in moved if n in sliding or not self._is_held(n)] + list(giving)
        centre = self.start[list(giving)]
        spread = np.array(list(giving.values()))

        def residuals(at: np.ndarray) -> np.ndarray:
            x = start.copy()
            x[free] = at
            prior = (at[len(free) - len(giving) :] - centre) / spread
            return np.concatenate([self._error(x), prior])

        at, cost = least_squares(residuals, start[free], self.low[free], self.high[free])
        x = start.copy()
        x[free] = at
        return Fit(moved, x, cost, self._costs(x)[1])

    def effect_db(self, x: np.ndarray, n: int) -> float:
        """The most that a slot's move changes, at any frequency or level that is known."""
        without = x.copy()
        without[n] = self.start[n]
        change = self.predict(x) - self.predict(without)
        return float(abs(change[self.rows.sure > 0]).max())

    def left(self, x: np.ndarray) -> np.ndarray:
        """What the model doesn't explain of the difference, in dB."""
        return self.rows.by - (self.predict(x) - self.before)

    def _sure(self) -> np.ndarray:
        """Less so by how much of the difference moves don't make as the model says: of the response's
        and the curve's shape. Of a level they make all."""
        rows = self.rows
        shape = rows.centred(rows.by, rows.sure) * (rows.sure > 0)
        curve = shape[GRID_HZ.size :]
        most = abs(shape[: GRID_HZ.size]).max(), abs(curve - np.median(curve)).max()
        rough = np.repeat(np.multiply(_ROUGH_SHARES, most), [GRID_HZ.size, curve.size])
        return rows.sure / np.hypot(1, rough * rows.sure)

    def _error(self, x: np.ndarray) -> np.ndarray:
        return self.rows.centred(self.left(x), self.sure) * self.sure

    def _costs(self, x: np.ndarray) -> tuple[float, float]:
        """Of all errors, and of those apart from the level."""
        error = self._error(x)
        curve = error[GRID_HZ.size :]
        cost = float(error @ error)
        return cost, cost - float(curve.sum()) ** 2 / curve.size

    def _is_held(self, n: int) -> bool:
        knob = self.predict.slots[n].knob
        return knob is not None and knob.is_stepped

    def _slides(self, n: int) -> bool:
        """Whether what lies between its positions tells of them."""
        return len(self._places(n)) > 3

    def _places(self, n: int) -> list[float]:
        """Of a stepped control, off as the reference has it off."""
        slot = self.predict.slots[n]
        return [at + self.start[n] - slot.x for _, at in positions(slot.knob)]

    def _changes(self, n: int) -> bool:
        slot = self.predict.slots[n]
        if slot.meaning.startswith("band_"):
            return True  # even if its band is flat: another control of it may be moved, too
        return any(
            abs(self.predict(x) - self.before).max() > LEAST_EFFECT_DB
            for x in self._moves(self.start, n)
        )

    def _giving(self, moved: frozenset[int]) -> dict[int, float]:
        """What is not moved but may give way, and how far: the level a little, and of bands whose law
        isn't known the Q and the frequency, the more where the reference could not show it."""
        slots = self.predict.slots
        steps = self.is_rough and any(self._is_held(n) and slots[n].meaning in GAINS for n in moved)
        giving = {len(slots) - 1: max(self.elsewhere_db, _ROUGH_STEPS_DB * steps)}
        for n in moved if self.is_rough else ():
            for hertz, gain, q in self.predict.bands(n):
                was_flat = abs(self.start[gain]) < _FLAT_DB
                giving |= {hertz: _ROUGH_FLAT if was_flat else _ROUGH_HERTZ, q: _ROUGH_Q}
        return {n: by for n, by in giving.items() if n not in moved and not self._is_held(n)}

    def _moves(self, x: np.ndarray, n: int) -> list[np.ndarray]:
        slot = self.predict.slots[n]
        if self._is_held(n):
            places = self._places(n)
        else:
            starts = _STARTS.get(slot.meaning, _STARTS_DB)
            places = [x[n] + way * by for by in starts for way in (1, -1)]
        made = []
        for place in sorted({min(max(at, self.low[n]), self.high[n]) for at in places}):
            if abs(place - x[n]) > 1e-9:
                moved = x.copy()
                moved[n] = place
                made.append(moved)
        return made

    def _extensions(self, fit: Fit) -> list[tuple[int, np.ndarray]]:
        """The slots that promise most beside those moved, each from its best starts."""
        promising = {}
        begin = fit.x.copy()
        begin[-1] = self.start[-1]  # what the level gave way is for the next control to take
        for n in self.candidates:
            if n not in fit.moved and (starts := self._moves(begin, n)):
                tried = [Fit(fit.moved, x, *self._costs(x)) for x in starts]
                promising[n] = _by_either(tried, 2)
        firsts = [replace(tried[0], moved=frozenset([n])) for n, tried in promising.items()]
        taken = [n for first in _by_either(firsts, TRIED) for n in first.moved]
        return [(n, each.x) for n in taken for each in promising[n]]


def _by_either(fits: list[Fit], count: int) -> list[Fit]:
    """The best by cost and by shape, in turn."""
    ranked = sorted(fits, key=lambda fit: fit.cost), sorted(fits, key=lambda fit: fit.shape)
    taken: dict[int, Fit] = {}
    for pair in zip(*ranked, strict=True):
        for fit in pair:
            if len(taken) < count:
                taken[id(fit)] = fit
    return list(taken.values())
