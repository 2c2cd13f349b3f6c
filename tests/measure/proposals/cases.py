"""A chain then and now, of which it is known what was moved; measured without a recording."""

from dataclasses import dataclass, replace

import numpy as np

from gear.audio.dial import DETENTED
from gear.audio.proving.explaining.model import Dynamics, Gain, Knob, Model
from gear.audio.proving.plan import STAIRS_DB, SWEEP_DB, Plan
from gear.audio.proving.result import HERTZ, Result
from tests.measure.proposals.laws import Law
from tests.measure.proposals.panels import drawn
from tests.simulated import Chain
from tests.simulated import Compressor as Loop
from tests.simulated.truth import truth_of

PLAN = Plan(48_000, 0.0)
#: In every drawing, as standard deviations: so that 95 of 100 lie within 0.05 dB, and steps within that.
POINT_DB, DRIFT_DB, STEP_DB = 0.015, 0.015, 0.012
#: Of two sweeps.
AGREE_DB = 0.1
#: What is moved changes at least so much, alone and beside the others: less is nobody's to find.
LEAST_DB = 0.7


@dataclass(frozen=True)
class Case:
    """then and now: where each control stands; the record says of both that it stands as then."""

    model: Model
    law: Law
    feed_db: float
    then: dict[str, float]
    now: dict[str, float]

    @property
    def moved(self) -> frozenset[str]:
        return frozenset(key for key, value in self.now.items() if value != self.then[key])

    def chain(self, values: dict[str, float]) -> Chain:
        return self.law.chain(self.model, values, self.feed_db)

    def measured(self, values: dict[str, float], chance: np.random.Generator | None) -> Result:
        """As a good measurement gives it, in dBu; without chance as it is."""
        chain = self.chain(values)
        (level, response), (_, curve) = swept(chain), known(chain)
        levels = np.array(STAIRS_DB)
        if chance is not None:
            response = response + _noise(response.size, chance)
            curve = curve + STEP_DB * chance.standard_normal(curve.size)
        pairs = zip(levels + self.feed_db, curve + self.feed_db, strict=True)
        return Result(
            rate_hz=PLAN.rate_hz,
            clock_ppm=0.0,
            latency_samples=0.0,
            polarity=1,
            gain_db=float(curve[0] - levels[0]),
            signal_to_noise_db=60.0,
            response_db=tuple(map(float, response)),
            response_level_db=level,
            harmonics=(),
            curve=tuple((float(level), float(out)) for level, out in pairs),
            compression=None,
            timings=(),
            noise_dbfs=-90.0,
            noise_a_dbfs=-92.0,
            hum=(),
        )

    def apart_db(self, values: dict[str, float]) -> float:
        """The most by which the chain so set differs from then, where it isn't far below its 1 kHz."""
        (response, curve), (was, curve_was) = (
            known(self.chain(values)),
            known(self.chain(self.then)),
        )
        heard = (np.array(HERTZ) <= 18_000) & (was >= was[HERTZ.index(1000.0)] - 15)
        return float(max(abs(response - was)[heard].max(), abs(curve - curve_was).max()))


def known(chain: Chain) -> tuple[np.ndarray, np.ndarray]:
    """Response at rest at HERTZ, and the static curve's levels out at the stairs, in closed form."""
    response = truth_of(PLAN, chain).response_db
    levels = np.array(STAIRS_DB)
    for stage in chain.stages:
        if isinstance(stage, Loop):
            levels = levels - stage.static_reduction_db(levels)
        else:
            levels = levels + 20 * np.log10(abs(stage.response(np.array([1000.0]))[0]))
    return response, levels


def swept(chain: Chain) -> tuple[float | None, np.ndarray]:
    """The response of the highest sweep that agrees with the one below within 0.1 dB, and its level;
    else that of the lowest. A sweep is taken to be as slow as a steady tone."""
    found = [_swept_at(chain, level) for level in SWEEP_DB]
    agreeing = None
    for n in range(1, len(found)):
        if abs(found[n] - found[n - 1]).max() > AGREE_DB:
            break
        agreeing = n
    return (None, found[0]) if agreeing is None else (SWEEP_DB[agreeing], found[agreeing])


def _swept_at(chain: Chain, level: float) -> np.ndarray:
    levels = np.full(len(HERTZ), level)
    for stage in chain.stages:
        if isinstance(stage, Loop):
            levels = levels - stage.static_reduction_db(levels)
        else:
            levels = levels + 20 * np.log10(abs(stage.response(np.array(HERTZ))))
    return levels - level


def case(moves: int, chance: np.random.Generator, *, is_known: bool) -> Case:
    """One in which so many controls were moved, each so that it matters."""
    while True:
        model = drawn(chance)
        law = Law() if is_known else Law.drawn(model, chance)
        then = {it.key: it.value for it in model.knobs()}
        before = Case(model, law, _feed(model, law, then), then, then)
        for _ in range(20):
            now = _moved(before, moves, chance)
            if now is not None:
                return replace(before, now=now)


def _feed(model: Model, law: Law, then: dict[str, float]) -> float:
    """So that the loudest stair is at +6 dBu where the compressor is, or at the end."""
    level = 0.0
    for part in model.parts:
        if isinstance(part, Dynamics):
            break
        if isinstance(part, Gain):
            level += law.figure(part.level_db, then)
    return 6.0 - level


def _moved(before: Case, moves: int, chance) -> dict[str, float] | None:
    knobs = list(before.model.knobs())
    if len(knobs) < moves:
        return None
    now = dict(before.then)
    for n in chance.choice(len(knobs), size=moves, replace=False):
        now[knobs[n].key] = _turned(knobs[n], chance)
    moved = [key for key in now if now[key] != before.then[key]]
    if len(moved) < moves or _acts_as_fewer(before.model, moved):
        return None
    matter = all(_effect(before, now, key) >= LEAST_DB for key in moved)
    return now if matter and before.apart_db(now) <= 24 else None


def _acts_as_fewer(model: Model, moved: list[str]) -> bool:
    """Of gains with no compressor between them one acts as both, and of the gain before it, its
    threshold and the gain after it two act as all three: no measurement tells those."""
    place, moves = 0, []
    for part in model.parts:
        place += isinstance(part, Dynamics)
        level = part.level_db if isinstance(part, Gain) else getattr(part, "threshold", None)
        if isinstance(level, Knob) and level.key in moved:
            moves.append((place, isinstance(part, Gain)))
    return len(set(moves)) < len(moves) or len(moves) > 2


def _turned(it: Knob, chance) -> float:
    """A position or two further; a knob by a twentieth to a third of its travel, as it is misread."""
    marks = [mark.value for mark in it.dial.marks]
    if it.dial.kind in DETENTED:
        place = marks.index(it.value) + int(chance.choice([-2, -1, 1, 2]))
        return marks[place] if 0 <= place < len(marks) else it.value
    angle = it.dial.angle_of(it.value) + chance.choice([-1, 1]) * chance.uniform(15, 100)
    return it.dial.read_at(angle) if -150 <= angle <= 150 else it.value


def _effect(before: Case, now: dict[str, float], key: str) -> float:
    """The lesser of what it changes by itself and what is missing without it."""
    alone = before.apart_db(before.then | {key: now[key]})
    (response, curve), (without, curve_without) = (
        known(before.chain(values)) for values in (now, now | {key: before.then[key]})
    )
    return min(alone, float(max(abs(response - without).max(), abs(curve - curve_without).max())))


def _noise(count: int, chance) -> np.ndarray:
    """Of each point, and a drift over an octave or two that the windows of a transform leave."""
    knots = DRIFT_DB * chance.standard_normal(13)
    drift = np.interp(np.linspace(0, 12, count), np.arange(13), knots)
    return POINT_DB * chance.standard_normal(count) + drift
