"""Thousands of short recordings of chains drawn by lot: a staircase, bursts, a silence, three tones, each read
alone."""

import random
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from gear.audio.proving.bursts import timings
from gear.audio.proving.curve import compression, static_curve
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import NotMeasured
from gear.audio.proving.silence import noise
from gear.audio.proving.three_tones.layout import BOTTOMS_HZ, TOPS_HZ, ThreeTones
from gear.audio.proving.three_tones.reading import find_tones
from tests.measure.proving import figures
from tests.measure.proving.figures import Figure
from tests.measure.proving.recordings import Verdict, drawn, scored
from tests.simulated import Chain, simulated_return, simulated_section, truth_of

Off = Iterator[tuple[Figure, float]]
_SETTLED_S = 0.1


def prove(count: int, seed: int) -> Verdict:
    off, refused = defaultdict(list), []
    for number in range(seed, seed + count):
        plan, chain = drawn(number)
        # A section is given as it begins: what it comes late is for whole recordings to find.
        chain = replace(chain, latency_samples=random.Random(number).random())
        try:
            for figure, by in KINDS[number % len(KINDS)](plan, chain, number):
                off[figure].append((by, number))
        except NotMeasured as refusal:
            refused.append(f"recording {number} was refused: {refusal}")
    return Verdict(scored(off), tuple(refused))


def _staircase(plan: Plan, chain: Chain, number: int) -> Off:
    truth = truth_of(plan, chain)
    [section] = plan.of("staircase")
    samples = simulated_section(plan, chain, section, number)
    curve, harmonics = static_curve(plan, samples, _rate(plan, chain))
    off = (out - true for (_, out), (_, true) in zip(curve, truth.curve, strict=True))
    yield figures.CURVE, figures.worst(off)
    yield from figures.harmonics(truth, harmonics)
    if truth.compressor:
        yield from figures.compression(truth, compression(curve)[0])


def _bursts(plan: Plan, chain: Chain, number: int) -> Off:
    section = plan.of("bursts")[number % 2]
    samples = simulated_section(plan, chain, section, number)
    found = timings(plan, section, samples, _rate(plan, chain))
    truth = truth_of(plan, chain)
    if truth.compressor:
        yield from figures.timings(truth, [found])


def _silence(plan: Plan, chain: Chain, number: int) -> Off:
    [section] = plan.of("silence")
    samples = simulated_section(plan, chain, section, number)
    edge = round(_SETTLED_S * plan.rate_hz)
    found, weighted, _ = noise(samples[edge:-edge], _rate(plan, chain))
    truth = truth_of(plan, chain)
    yield figures.NOISE, found - truth.noise_dbfs
    yield figures.NOISE_A, weighted - truth.noise_a_dbfs


def _tones(plan: Plan, chain: Chain, number: int) -> Off:
    """Recorded from some seconds before to some after."""
    chance = random.Random(number)
    tones = ThreeTones(
        plan.rate_hz, plan.ceiling_dbfs, chance.choice(BOTTOMS_HZ), chance.choice(TOPS_HZ)
    )
    late = replace(chain, latency_samples=chance.uniform(0, 3) * plan.rate_hz)
    samples = simulated_return(tones, late, number).astype(np.float32)
    read = find_tones(tones, samples, plan.rate_hz)
    truth = truth_of(tones, chain)
    for tone in read.tones:
        true = truth.steady(tones.ceiling_dbfs, tone.hertz)[1]
        rests = truth.at_rest_db(np.array([tone.hertz]))[0] + tones.ceiling_dbfs - true < 0.001
        # Of a few samples a period a simulated detector takes now this one for the peak, now that.
        sure = rests or tone.hertz <= 1000
        if sure and true > truth.noise_dbfs + figures.CLEAR_DB:
            yield figures.TONE, figures.MISSING if tone.dbfs is None else tone.dbfs - true


KINDS = (_staircase, _bursts, _bursts, _silence, _tones)


def _rate(plan: Plan, chain: Chain) -> float:
    return plan.rate_hz * (1 + 1e-6 * chain.clock_ppm)
