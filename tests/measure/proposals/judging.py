"""How often the right controls are proposed, and how near a chain comes to what it did when they are turned."""

from collections import defaultdict
from dataclasses import dataclass, replace
from math import comb

import numpy as np

from gear.audio.proving.explaining.coordinates import coordinate_of, ends, positions, value_near
from gear.audio.proving.explaining.explain import explain
from gear.audio.proving.explaining.model import Knob, Model
from gear.audio.proving.explaining.proposal import Explanation, Move, Proposal
from tests.measure.proposals.cases import Case, case

TOLERANCE_DB = 0.3
NEAR_DB = 0.5
#: A hand turns a knob so near to where it is told, as a share of its travel.
HAND = 0.003
#: Of its travel, so far from where a control is said to stand an eye tells that it doesn't.
LOOK = 0.1
#: Rounds of turning and measuring again, where the law of the controls is known, and where it isn't.
ROUNDS = {True: 1, False: 3}
#: Of 100, by known law and number of moves: right, at most one too many, near enough at the end.
WANTED = {
    (True, 1): (95, 5, 95),
    (True, 2): (90, 10, 95),
    (True, 3): (90, 10, 95),
    (False, 1): (95, 5, 95),
    (False, 2): (80, 15, 95),
    (False, 3): (80, 20, 95),
}
NOTHING = (True, 0), (False, 0)
#: Below so many, chance is allowed for: what has a chance of one in a hundred or more still holds.
FEW, LEAST_CHANCE = 100, 0.01


@dataclass(frozen=True)
class Score:
    what: str
    held: int
    count: int
    wanted: int  # of 100

    @property
    def holds(self) -> bool:
        enough = 100 * self.held >= self.wanted * self.count
        return enough or (self.count < FEW and self._chance() >= LEAST_CHANCE)

    def _chance(self) -> float:
        """Of so few or fewer, if so many of 100 are right."""
        right, n = self.wanted / 100, self.count
        return sum(comb(n, k) * right**k * (1 - right) ** (n - k) for k in range(self.held + 1))

    def __str__(self) -> str:
        share = 100 * self.held / self.count
        verdict = "pass" if self.holds else "FAIL"
        return f"{self.what:52} {self.count:5}  {share:5.1f} %  wanted {self.wanted:3} %  {verdict}"


@dataclass(frozen=True)
class Verdict:
    scores: tuple[Score, ...]
    missed: tuple[str, ...]

    @property
    def holds(self) -> bool:
        return all(score.holds for score in self.scores)

    def __str__(self) -> str:
        return "\n".join([*map(str, self.scores), *self.missed[:20], f"holds {self.holds}"])


@dataclass(frozen=True)
class Played:
    """A case through all its rounds: what was proposed first, and how far apart it ends."""

    case: Case
    first: Proposal
    apart_db: float

    @property
    def stated(self) -> list[frozenset[str]]:
        found = (self.first.best, *self.first.alternatives) if self.first.best else ()
        return [each.keys for each in found]

    @property
    def is_right(self) -> bool:
        return self.case.moved in self.stated

    @property
    def names_too_many(self) -> bool:
        return bool(self.stated) and len(self.stated[0]) > len(self.case.moved)


def prove(count: int, seed: int) -> Verdict:
    """The kinds of case in turn."""
    kinds = [*WANTED, *NOTHING]
    played, missed = defaultdict(list), []
    for n in range(count):
        kind = is_known, moves = kinds[n % len(kinds)]
        one = play(n, seed)
        played[kind].append(one)
        if moves and not one.is_right:
            missed.append(f"case {n} of seed {seed}: {sorted(one.case.moved)} moved")
    return Verdict(
        tuple(score for kind in kinds for score in _scores(kind, played[kind])), tuple(missed)
    )


def play(n: int, seed: int) -> Played:
    """The same for the same number and seed."""
    is_known, moves = [*WANTED, *NOTHING][n % (len(WANTED) + len(NOTHING))]
    chance = np.random.default_rng([seed, n])
    return through_rounds(case(moves, chance, is_known=is_known), ROUNDS[is_known], chance)


def through_rounds(one: Case, rounds: int, chance: np.random.Generator) -> Played:
    """Measured, turned as proposed, and measured again, for as long as something is proposed."""
    model, stands = one.model, dict(one.now)
    then = one.measured(one.then, chance)
    first, made = None, []
    for _ in range(rounds):
        now = one.measured(stands, chance)
        proposal = explain(model, then, now, TOLERANCE_DB, earlier=made)
        first = first or proposal
        if proposal.best is None:
            break
        knobs = {it.key: it for it in model.knobs()}
        done = believed(proposal, knobs, stands)
        made.append(replace(proposal, best=done))
        for move in done.moves:
            stands[move.key] = turned(knobs[move.key], stands[move.key], move, chance)
        model = recorded(model, {move.key: move.to_value for move in done.moves})
    return Played(one, first, one.apart_db(stands))


def believed(proposal: Proposal, knobs: dict[str, Knob], stands: dict[str, float]) -> Explanation:
    """The first whose controls stand where they are said to stand in place of the recorded: one looks."""

    def is_there(move: Move) -> bool:
        it = knobs[move.key]
        low, high = ends(it)
        off = coordinate_of(it, stands[move.key]) - coordinate_of(it, move.from_value)
        return not move.stands_elsewhere or abs(off) < LOOK * (high - low)

    stated = [proposal.best, *proposal.alternatives]
    return next((each for each in stated if all(map(is_there, each.moves))), stated[0])


def turned(it: Knob, stands: float, move: Move, chance: np.random.Generator) -> float:
    """From where it stands in fact, by as much as it is to be turned."""
    if it.is_stepped:
        values = [value for value, _ in positions(it)]
        steps = values.index(move.to_value) - values.index(move.from_value)
        return values[min(max(values.index(stands) + steps, 0), len(values) - 1)]
    by = coordinate_of(it, move.to_value) - coordinate_of(it, move.from_value)
    value = value_near(it, coordinate_of(it, stands) + by)
    low, high = (mark.angle for mark in (it.dial.marks[0], it.dial.marks[-1]))
    angle = it.dial.angle_of(value) + HAND * (high - low) * chance.standard_normal()
    return it.dial.value_at(min(max(angle, low), high))


def recorded(model: Model, now: dict[str, float]) -> Model:
    def part_of(part):
        named = {
            name: replace(it, now=now[it.key])
            for name, it in vars(part).items()
            if isinstance(it, Knob) and it.key in now
        }
        return replace(part, **named)

    return Model(tuple(map(part_of, model.parts)))


def _scores(kind: tuple[bool, int], played: list[Played]) -> list[Score]:
    if not played:
        return []
    (is_known, moves), count = kind, len(played)
    law = "law known" if is_known else "law unknown"
    if not moves:
        nothing = sum(not one.stated for one in played)
        return [Score(f"{law}, nothing moved: nothing proposed", nothing, count, 100)]
    right, too_many, near = WANTED[kind]
    return [
        Score(
            f"{law}, {moves} moved: right, or stated", sum(p.is_right for p in played), count, right
        ),
        Score(
            f"{law}, {moves} moved: none too many",
            sum(not p.names_too_many for p in played),
            count,
            100 - too_many,
        ),
        Score(
            f"{law}, {moves} moved: within {NEAR_DB:g} dB after {ROUNDS[is_known]}",
            sum(p.apart_db <= NEAR_DB for p in played),
            count,
            near,
        ),
    ]
