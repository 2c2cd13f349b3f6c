"""The figures that must hold of a measurement, and by how much each recording misses them.

Each is judged only where it was promised: what stands beside it says where.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gear.audio.proving.plan import SWEEP_DB, TONE_DB
from gear.audio.proving.result import HERTZ, Result
from tests.simulated import Compressor, Truth


@dataclass(frozen=True)
class Figure:
    """always: no recording is off by more; in_95: nor 95 of 100 by this, if it is given."""

    name: str
    unit: str
    always: float | None
    in_95: float | None = None


RESPONSE = Figure("response, 20 Hz to 18 kHz", "dB", 0.1, 0.05)
GAIN = Figure("gain below the knee", "dB", 0.005)
CLOCK = Figure("clock", "ppm", 0.01)
POLARITY = Figure("polarity", "", 0)
LATENCY = Figure("latency of a cable", "samples", 0.1)
NOISE = Figure("noise", "dB", 0.1)
NOISE_A = Figure("noise, A-weighted", "dB", 0.1)
SECOND = Figure("second harmonic", "dB", 0.5)
THIRD = Figure("third harmonic", "dB", 0.5)
CURVE = Figure("curve", "dB", 0.05)
THRESHOLD = Figure("threshold", "dB", None, 0.3)
RATIO = Figure("ratio", "%", None, 5)
ATTACK = Figure("attack", "%", 15)
RELEASE = Figure("release", "%", 5)
LEVEL_SEEN = Figure("dependence on level recognised", "", 0)
NOT_TOLD = Figure("little above the knee, and said so", "", 0)
FALSE_ALARM = Figure("nothing wrong, and no fault named", "", 0)
ALL = (
    RESPONSE,
    GAIN,
    CLOCK,
    POLARITY,
    LATENCY,
    NOISE,
    NOISE_A,
    SECOND,
    THIRD,
    CURVE,
    THRESHOLD,
    RATIO,
    ATTACK,
    RELEASE,
    LEVEL_SEEN,
    NOT_TOLD,
    FALSE_ALARM,
)

#: A figure that is missing where it was promised is off by this much.
MISSING = math.inf
LOWEST_DB, HIGHEST_HZ = -15.0, 18_000.0
LEAST_HARMONIC_DB, CLEAR_DB = -70.0, 31.0
FAR_ABOVE_KNEE_DB, LEAST_ABOVE_KNEE_DB = 6.0, 3.0
#: Two sweeps that differ by more than this can't be taken for the same, and by less, for different.
DIFFER_DB, SAME_DB = 0.25, 0.01
LEAST_WAY_DB = 3.0
#: From this share of a burst's reduction on, distortion may hide its times.
LEAST_BENT = 0.025


def judged(truth: Truth, result: Result) -> Iterator[tuple[Figure, float]]:
    """By how much a recording misses each figure that is promised of it, the worst where it has many."""
    chain, plan = truth.chain, truth.plan
    # Noise that comes near is said, and rightly.
    alarms = [fault for fault in result.faults if fault.key != "noisy"]
    yield FALSE_ALARM, MISSING if alarms else 0
    yield CLOCK, result.clock_ppm - chain.clock_ppm
    yield POLARITY, 0 if result.polarity == chain.polarity else MISSING
    yield NOISE, result.noise_dbfs - truth.noise_dbfs
    yield NOISE_A, result.noise_a_dbfs - truth.noise_a_dbfs
    if not chain.stages:
        # Counted by the recorder.
        late = chain.latency_samples * (1 + 1e-6 * chain.clock_ppm)
        yield LATENCY, result.latency_samples - late
    yield from _response(truth, result)
    tone_dbfs = plan.ceiling_dbfs + TONE_DB
    if abs(truth.gain_db(tone_dbfs) - truth.at_1_khz_db) < 0.001:
        yield GAIN, _off(result.gain_db, truth.at_1_khz_db)
    yield CURVE, worst(out - true for (_, out), (_, true) in _pairs(result.curve, truth.curve))
    yield from harmonics(truth, result.harmonics)
    if truth.compressor:
        yield from compression(truth, result.compression)
        yield from timings(truth, result.timings)


def worst(values) -> float:
    """The one farthest from zero; what is missing where nothing was given."""
    return max(values, key=abs, default=0.0)


def _off(found: float | None, true: float) -> float:
    return MISSING if found is None else found - true


def _pairs(found, true):
    if len(found) != len(true):
        return [((0, MISSING), (0, 0))]
    return zip(found, true, strict=True)


def _response(truth: Truth, result: Result) -> Iterator[tuple[Figure, float]]:
    """Promised where even the second sweep is clear of the knee."""
    differ, most = (
        worst(_reduction(truth, SWEEP_DB[1], share) - _reduction(truth, SWEEP_DB[0], share))
        for share in (0.0, 1.0)
    )
    if result.response_level_db is None:
        yield LEVEL_SEEN, MISSING if most < SAME_DB else 0
    else:
        yield LEVEL_SEEN, MISSING if differ > DIFFER_DB else 0
    if most > SAME_DB or result.response_level_db is None:
        return
    true, hertz = truth.response_db, np.array(HERTZ)
    promised = (true > truth.at_1_khz_db + LOWEST_DB) & (hertz > 20) & (hertz <= HIGHEST_HZ)
    found = np.array([MISSING if each is None else each for each in result.response_db])
    yield RESPONSE, worst(np.where(promised, found - true, 0))


def _reduction(truth: Truth, sweep_db: float, rippling: float) -> np.ndarray:
    """What the compressor takes away at HERTZ, by its published curve: at least (0), and at most with all of what
    its detector swings by (1)."""
    named = truth.compressor
    if named is None:
        return np.zeros(len(HERTZ))
    hertz = np.array(HERTZ)
    level = truth.plan.ceiling_dbfs + sweep_db + truth.before_db(hertz)
    return named.static_reduction_db(level + rippling * named.ripple_db(hertz))


def harmonics(truth: Truth, found) -> Iterator[tuple[Figure, float]]:
    """Promised down to -70 dB where noise in half a second leaves it clear."""
    # Hann's window on 0.29 s lets in 1.5 / 0.29 s of the noise's 20 kHz.
    noise_dbfs = truth.noise_dbfs + 10 * math.log10(1.5 / 0.29 / 20_000)
    for figure, number, name in ((SECOND, 2, "second_db"), (THIRD, 3, "third_db")):
        off = []
        for each in found:
            levels = truth.steady(each.in_dbfs)
            true = levels[number] - levels[1]
            if true >= LEAST_HARMONIC_DB and levels[number] > noise_dbfs + CLEAR_DB:
                off.append(_off(getattr(each, name), true))
        if off:
            yield figure, worst(off)


def compression(truth: Truth, found) -> Iterator[tuple[Figure, float]]:
    threshold, ratio, knee = truth.compression
    above = truth.plan.ceiling_dbfs - threshold - knee / 2
    if above < LEAST_ABOVE_KNEE_DB - 1.5:
        yield NOT_TOLD, 0 if found is None else MISSING
    if above >= FAR_ABOVE_KNEE_DB:
        yield THRESHOLD, _off(found and found.threshold_dbfs, threshold)
        yield RATIO, 100 * (_off(found and found.ratio, ratio) / ratio)


def timings(truth: Truth, found) -> Iterator[tuple[Figure, float]]:
    """Promised from 3 dB of reduction on, with an attack of 1 to 50 ms; a sine shows nothing that is over
    within two of its periods, so that 1 kHz may leave the fastest to 5 kHz. Where distortion moves the gain of
    a burst, too, nothing need be told."""
    named: Compressor = truth.compressor
    attacks, releases = [], []
    for each in found:
        attack, release, way = truth.timing(each.hertz)
        is_told = (each.attack_ms, each.release_ms) != (None, None)
        if way < LEAST_WAY_DB or (not is_told and truth.bent(each.hertz) > LEAST_BENT):
            continue
        seen = each.attack_ms is not None or attack > 2000 / each.hertz
        if seen and 1 <= named.attack_ms <= 50:
            attacks.append(100 * (_off(each.attack_ms, attack) / attack))
        releases.append(100 * (_off(each.release_ms, release) / release))
    if attacks:
        yield ATTACK, worst(attacks)
    if releases:
        yield RELEASE, worst(releases)
