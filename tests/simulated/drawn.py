"""Chains drawn by lot, as studios set them up."""

import math
import random
from dataclasses import replace

import numpy as np

from gear.audio.proving.plan import TONE_DB, Plan
from tests.simulated.bending import Polynomial
from tests.simulated.chain import Chain
from tests.simulated.compressor import Compressor
from tests.simulated.linear import Gain, HighPass, HighShelf, LowPass, LowShelf, Peak

RATES_HZ = (44_100, 48_000, 48_000, 48_000, 88_200, 96_000)
HEADROOM_DB = -3.0  # under full scale, for what bends and hums


def drawn_plan(chance: random.Random, rates: tuple[int, ...] = RATES_HZ) -> Plan:
    return Plan(
        chance.choice(rates),
        round(chance.uniform(-18, -4), 1),
        round(_log_uniform(chance, 0.05, 1.0), 2),
    )


def drawn_chain(chance: random.Random, plan: Plan, signal_to_noise_db=(40.0, 90.0)) -> Chain:
    """A cable once in ten; else some bands, and mostly a compressor between them.

    Signal to noise is that of the tone of 1 kHz at its plan's level.
    """
    around = {
        "polarity": chance.choice((1, -1)),
        "latency_samples": chance.choice((chance.uniform(0, 5000), chance.uniform(0, 100_000))),
        "clock_ppm": chance.choice((0.0, chance.uniform(-3, 3), chance.uniform(-100, 100))),
    }
    if chance.random() < 0.1:
        return _with_noise(chance, plan, Chain((), **around), signal_to_noise_db)
    bands = drawn_bands(chance)
    cut = chance.randint(0, len(bands))
    stages = [Gain(chance.uniform(-12, 12)), *bands[:cut]]
    level_dbfs = plan.ceiling_dbfs + _at_1_khz(stages)
    if chance.random() < 0.65:
        stages.append(drawn_compressor(chance, plan, level_dbfs))
    if chance.random() < 0.6:
        stages.append(drawn_polynomial(chance, level_dbfs))
    stages += bands[cut:]
    # Its own make-up and the rest of the gain, so that all comes back under full scale.
    hertz = np.geomspace(20, 20_000, 200)
    most = 20 * np.log10(np.abs(Chain(tuple(stages)).response(hertz))).max()
    made_up = sum(getattr(stage, "make_up_db", 0) for stage in stages)
    room = HEADROOM_DB - plan.ceiling_dbfs - most - made_up
    stages.append(Gain(room - chance.uniform(0, 12)))
    return _with_noise(chance, plan, Chain(tuple(stages), **around), signal_to_noise_db)


def drawn_bands(chance: random.Random) -> list:
    found = []
    if chance.random() < 0.4:
        found.append(HighPass(_log_uniform(chance, 20, 150), chance.randint(1, 3)))
    if chance.random() < 0.4:
        found.append(LowShelf(_log_uniform(chance, 60, 300), chance.uniform(-10, 10)))
    for _ in range(chance.choice((0, 1, 1, 2))):
        bell = _log_uniform(chance, 80, 12_000), chance.uniform(-10, 10)
        found.append(Peak(*bell, _log_uniform(chance, 0.4, 4)))
    if chance.random() < 0.4:
        found.append(HighShelf(_log_uniform(chance, 3000, 12_000), chance.uniform(-10, 10)))
    if chance.random() < 0.2:
        found.append(LowPass(_log_uniform(chance, 10_000, 20_000), chance.randint(1, 2)))
    chance.shuffle(found)
    return found


def drawn_compressor(chance: random.Random, plan: Plan, ceiling_dbfs: float) -> Compressor:
    """ceiling_dbfs: what the file's loudest arrives with. The release is what the plan was told, or
    shorter."""
    return Compressor(
        threshold_dbfs=ceiling_dbfs - chance.uniform(2, 30),
        ratio=_log_uniform(chance, 1.5, 12),
        knee_db=chance.choice((0.0, chance.uniform(1, 12))),
        attack_ms=_log_uniform(chance, 1, 50),
        release_ms=1000 * plan.release_s * chance.uniform(0.3, 0.9),
        make_up_db=chance.uniform(0, 10),
        detector=chance.choice(("decoupled", "branching", "rms")),
        rms_ms=chance.uniform(2, 10),
    )


def drawn_polynomial(chance: random.Random, ceiling_dbfs: float) -> Polynomial:
    """With harmonics of -80 to -35 dB at the ceiling (standards.md 15.4, solved for its factors)."""
    peak = 10 ** (ceiling_dbfs / 20)
    second, third = (10 ** (chance.uniform(-80, -35) / 20) for _ in range(2))
    sign = chance.choice((1, -1))
    return Polynomial(2 * second / peak, sign * 4 * third / peak**2)


def _with_noise(chance: random.Random, plan: Plan, chain: Chain, between) -> Chain:
    tone_dbfs = plan.ceiling_dbfs + TONE_DB + _at_1_khz(chain.stages)
    noise_dbfs = tone_dbfs - chance.uniform(*between)
    mains = chance.choice((50.0, 60.0))
    hum = [
        (mains * number, noise_dbfs + chance.uniform(-25, -5))
        for number in (1, 2, 3)
        if chance.random() < 0.5
    ]
    return replace(chain, noise_dbfs=noise_dbfs, hum=tuple(hum))


def _at_1_khz(stages) -> float:
    chain = Chain(tuple(stages))
    made_up = sum(getattr(stage, "make_up_db", 0) for stage in stages)
    return made_up + 20 * math.log10(abs(chain.response(np.array([1000.0]))[0]))


def _log_uniform(chance: random.Random, low: float, high: float) -> float:
    return math.exp(chance.uniform(math.log(low), math.log(high)))
