"""Short recordings of three tones through chains drawn by lot: what `find_tones` reads of each, against
what the chain is known to do; and mistaken ones, which must be called what they are."""

import random
from collections import defaultdict
from collections.abc import Callable, Iterator

import numpy as np

from gear.audio.proving.result import NotMeasured
from gear.audio.proving.three_tones.layout import BOTTOMS_HZ, TOPS_HZ, ThreeTones
from gear.audio.proving.three_tones.reading import TonesRead, find_tones
from tests.measure.proving.figures import MISSING, Figure
from tests.measure.proving.recordings import Score, Verdict
from tests.simulated import Chain, Gain, simulated_return
from tests.simulated.drawn import drawn_bands

#: By how much its level stands above all noise from 20 Hz to 20 kHz.
CLEAR_DB, FAINT_DB = 40.0, 20.0
LEVEL = Figure("level of a tone, 40 dB clear", "dB", 0.005)
FAINT = Figure("level of a tone, 20 dB clear", "dB", 0.05)
UNDER = Figure("level of a tone below, or none told", "dB", 2.0)
CALLED = Figure("mistakes called what they are", "", 0)
RATES_HZ = (44_100, 48_000, 48_000, 96_000)
EVERY = 3  # of so many, one is a mistaken recording


def prove(count: int, seed: int) -> Verdict:
    off, refused = defaultdict(list), []
    for number in range(seed, seed + count):
        chance = random.Random(number)
        plan, chain = drawn_tones(chance)
        samples = simulated_return(plan, chain, number)
        if number % EVERY == 0:
            off[CALLED].append((_miscalled(plan, samples, chance), number))
            continue
        try:
            read = find_tones(plan, samples, plan.rate_hz)
        except NotMeasured as refusal:
            refused.append(f"recording {number} was refused: {refusal}")
            continue
        for figure, by in judged(plan, chain, read):
            off[figure].append((by, number))
    scores = [
        Score(figure, tuple(by for by, _ in found), max(found, key=lambda pair: abs(pair[0]))[1])
        for figure, found in off.items()
    ]
    return Verdict(tuple(scores), tuple(refused))


def drawn_tones(chance: random.Random) -> tuple[ThreeTones, Chain]:
    """Bands, gain, noise and hum, at a clock of its own; nothing that a level would change."""
    rate_hz = chance.choice(RATES_HZ)
    outer = chance.choice(BOTTOMS_HZ), chance.choice(TOPS_HZ)
    plan = ThreeTones(rate_hz, round(chance.uniform(-40, -6), 1), *outer)
    bands = tuple(drawn_bands(chance))
    middle_db = _gain_db(Chain(bands), 1000.0)
    back_at_dbfs = chance.uniform(-30, -12)
    stages = (Gain(back_at_dbfs - plan.ceiling_dbfs - middle_db), *bands)
    noise_dbfs = back_at_dbfs - chance.uniform(25, 90)
    mains = chance.choice((50.0, 60.0))
    hum = tuple((mains * n, noise_dbfs - chance.uniform(0, 20)) for n in (1, 2, 3))
    return plan, Chain(
        stages,
        polarity=chance.choice((1, -1)),
        latency_samples=chance.uniform(0, rate_hz),
        clock_ppm=chance.choice((0.0, chance.uniform(-100, 100))),
        noise_dbfs=noise_dbfs,
        hum=hum,
    )


def judged(plan: ThreeTones, chain: Chain, read: TonesRead) -> Iterator[tuple[Figure, float]]:
    """A tone whose own frequency hums is judged where that is said, by what is said of it."""
    for tone in read.tones:
        true_dbfs = plan.ceiling_dbfs + _gain_db(chain, tone.hertz)
        clear_db = true_dbfs - chain.noise_dbfs
        off = MISSING if tone.dbfs is None else tone.dbfs - true_dbfs
        if any(abs(line - tone.hertz) < 1 for line, _ in chain.hum):
            continue
        if clear_db >= CLEAR_DB:
            yield LEVEL, off
        elif clear_db >= FAINT_DB:
            yield FAINT, off
        elif tone.dbfs is not None and not tone.faults:
            yield UNDER, off


def _miscalled(plan: ThreeTones, samples: np.ndarray, chance: random.Random) -> float:
    """0 where the mistake is recognised."""
    kind = chance.choice(list(MISTAKES))
    made, rate_hz = MISTAKES[kind](plan, samples, chance)
    try:
        read = find_tones(plan, made, rate_hz)
    except NotMeasured as refusal:
        return 0.0 if refusal.key == kind else MISSING
    return 0.0 if kind in {fault.key for fault in read.faults} else MISSING


Mistake = Callable[[ThreeTones, np.ndarray, random.Random], tuple[np.ndarray, int]]


def _cut(plan, samples, chance):
    kept = round(chance.uniform(0.05, 0.75) * plan.length_s * plan.rate_hz)
    return (samples[:kept] if chance.random() < 0.5 else samples[-kept:]), plan.rate_hz


def _moved(plan, samples, chance):
    changed = samples.copy()
    by = chance.choice((-1, 1)) * chance.uniform(0.7, 6)
    changed[-round(4.5 * plan.rate_hz) :] *= 10 ** (by / 20)
    return changed, plan.rate_hz


def _clipped(plan, samples, chance):
    return np.clip(samples * 10 ** (chance.uniform(32, 50) / 20), -1, 1), plan.rate_hz


def _at_another_rate(plan, samples, chance):
    return samples, 44_100 if plan.rate_hz == 48_000 else 48_000


def _another(plan, samples, chance):
    seconds = np.arange(samples.size) / plan.rate_hz
    made = chance.choice(
        (
            lambda: np.sin(2 * np.pi * chance.uniform(40, 5000) * seconds),
            lambda: np.sin(2 * np.pi * 20 * 1000 ** (seconds / seconds[-1]) * seconds),
            lambda: np.random.default_rng(chance.randrange(1000)).standard_normal(samples.size) / 4,
        )
    )
    return 0.3 * made(), plan.rate_hz


MISTAKES: dict[str, Mistake] = {
    "too short": _cut,
    "gain changed": _moved,
    "clipped": _clipped,
    "other rate": _at_another_rate,
    "other file": _another,
    "silent": lambda plan, samples, chance: (0 * samples, plan.rate_hz),
    "not sound": lambda plan, samples, chance: (samples / 0.0, plan.rate_hz),
}


def _gain_db(chain: Chain, hertz: float) -> float:
    return float(20 * np.log10(np.abs(chain.response(np.array([hertz]))[0])))
