"""Thousands of short recordings of chains drawn by lot: a staircase, bursts or a silence, read alone.
(Three tones: `tones`.)"""

import random
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from gear.audio.proving.bursts import timings
from gear.audio.proving.curve import compression, static_curve
from gear.audio.proving.plan import Plan
from gear.audio.proving.silence import noise
from tests.measure.proving import figures
from tests.measure.proving.figures import Figure
from tests.measure.proving.recordings import Verdict, drawn, scored
from tests.simulated import Chain, simulated_section, truth_of

Off = Iterator[tuple[Figure, float]]
_SETTLED_S = 0.1


def prove(count: int, seed: int) -> Verdict:
    off = defaultdict(list)
    for number in range(seed, seed + count):
        plan, chain = drawn(number)
        # A section is given as it begins: what it comes late is for whole recordings to find.
        chain = replace(chain, latency_samples=random.Random(number).random())
        for figure, by in KINDS[number % len(KINDS)](plan, chain, number):
            off[figure].append((by, number))
    return Verdict(scored(off), ())


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


KINDS = (_staircase, _bursts, _bursts, _silence)


def _rate(plan: Plan, chain: Chain) -> float:
    return plan.rate_hz * (1 + 1e-6 * chain.clock_ppm)
