"""Proposals from whole recordings: played, recorded and read as in the studio."""

from collections import defaultdict

import numpy as np

from gear.audio.proving.analysing import analyse
from gear.audio.proving.explaining.explain import explain
from gear.audio.proving.in_dbu import in_dbu
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import Result
from tests.measure.proposals.cases import Case, case, known
from tests.measure.proposals.judging import TOLERANCE_DB, WANTED, Played, Score, Verdict
from tests.simulated import Chain, Gain, simulated_return

PLAN = Plan(48_000, -6.0)
LOUDEST_DBFS, NOISE_DBFS = -6.0, -95.0
KINDS = [*WANTED, (True, 0)]


def prove(count: int, seed: int) -> Verdict:
    """The kinds of case in turn."""
    played, missed = defaultdict(list), []
    for n in range(count):
        is_known, moves = KINDS[n % len(KINDS)]
        one = play(n, seed)
        played[is_known, moves].append(one)
        if not _is_right(one):
            missed.append(f"case {n} of seed {seed}: {sorted(one.case.moved)} moved, {one.stated}")
    return Verdict(tuple(_score(kind, of) for kind, of in played.items()), tuple(missed))


def play(n: int, seed: int) -> Played:
    """The same for the same number and seed."""
    is_known, moves = KINDS[n % len(KINDS)]
    chance = np.random.default_rng([seed, n, 1])
    one = case(moves, chance, is_known=is_known)
    then, now = (returned(one, values, chance) for values in (one.then, one.now))
    return Played(one, explain(one.model, then, now, TOLERANCE_DB), 0.0)


def returned(one: Case, values: dict[str, float], chance: np.random.Generator) -> Result:
    """Of the chain so set, in dBu; both times through the same converters, into which nothing clips:
    bursts come before a compressor acts."""
    sent_dbu = one.feed_db - PLAN.ceiling_dbfs
    most = max(known(one.chain(each))[0].max() for each in (one.then, one.now))
    read_dbu = one.feed_db + most - LOUDEST_DBFS
    stages = one.law.chain(one.model, values, sent_dbu).stages[:-1]
    chain = Chain(
        (*stages, Gain(-read_dbu)),
        latency_samples=60 + 40 * chance.random(),
        clock_ppm=chance.uniform(-30, 30),
        noise_dbfs=NOISE_DBFS,
    )
    samples = simulated_return(PLAN, chain, int(chance.integers(1 << 30)))
    found = analyse(PLAN, samples.astype(np.float32), PLAN.rate_hz)
    return in_dbu(found, sent_full_scale_dbu=sent_dbu, read_full_scale_dbu=read_dbu)


def _is_right(one: Played) -> bool:
    return one.is_right if one.case.moved else not one.stated


def _score(kind: tuple[bool, int], played: list[Played]) -> Score:
    is_known, moves = kind
    law = "law known" if is_known else "law unknown"
    right = sum(map(_is_right, played))
    wanted = WANTED[kind][0] if moves else 100
    return Score(f"recorded, {law}, {moves} moved: right, or stated", right, len(played), wanted)
