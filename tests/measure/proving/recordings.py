"""Full recordings of chains drawn by lot: what `analyse` finds in each, against what is true."""

import random
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from gear.audio.proving.analysing import analyse
from gear.audio.proving.result import NotMeasured
from tests.measure.proving.figures import ALL, Figure, judged
from tests.simulated import drawn_chain, drawn_plan, simulated_return, truth_of

LEAST_95 = 0.95


@dataclass(frozen=True)
class Score:
    """Of one figure over many recordings: by how much each is off, and whose is the worst."""

    figure: Figure
    off: tuple[float, ...]
    seed: int

    @property
    def holds(self) -> bool:
        figure, off = self.figure, np.abs(self.off)
        always = figure.always is None or (off <= figure.always).all()
        return bool(always and (figure.in_95 is None or self.share >= LEAST_95))

    @property
    def share(self) -> float:
        within = self.figure.always if self.figure.in_95 is None else self.figure.in_95
        return float(np.mean(np.abs(self.off) <= within))

    def __str__(self) -> str:
        figure, off = self.figure, np.sort(np.abs(self.off))
        wanted = [] if figure.in_95 is None else [f"±{figure.in_95:g} in 95 of 100"]
        wanted += [] if figure.always is None else [f"±{figure.always:g} always"]
        at_95 = off[min(int(LEAST_95 * off.size), off.size - 1)]
        return (
            f"{figure.name:34} {off.size:5}  95 in 100 {at_95:8.3g}  worst {off[-1]:8.3g} {figure.unit:7} "
            f"{' and '.join(wanted):30} {100 * self.share:5.1f} %  {'pass' if self.holds else 'FAIL'}"
            f"{'' if self.holds else f' (recording {self.seed})'}"
        )


@dataclass(frozen=True)
class Verdict:
    scores: tuple[Score, ...]
    refused: tuple[str, ...]

    @property
    def holds(self) -> bool:
        return not self.refused and all(score.holds for score in self.scores)

    def __str__(self) -> str:
        return "\n".join([*map(str, self.scores), *self.refused, f"holds {self.holds}"])


def prove(count: int, seed: int) -> Verdict:
    off, refused = defaultdict(list), []
    for number in range(seed, seed + count):
        plan, chain = drawn(number)
        recorded = simulated_return(plan, chain, number)
        try:
            result = analyse(plan, recorded.astype(np.float32), plan.rate_hz)
        except NotMeasured as refusal:
            refused.append(f"recording {number} was refused: {refusal}")
            continue
        for figure, by in judged(truth_of(plan, chain), result):
            off[figure].append((by, number))
    return Verdict(scored(off), tuple(refused))


def drawn(number: int):
    """The same for the same number."""
    chance = random.Random(number)
    plan = drawn_plan(chance)
    return plan, drawn_chain(chance, plan)


def scored(off) -> tuple[Score, ...]:
    found = []
    for figure in ALL:
        if figure in off:
            worst = max(off[figure], key=lambda pair: abs(pair[0]))
            found.append(Score(figure, tuple(by for by, _ in off[figure]), worst[1]))
    return tuple(found)
