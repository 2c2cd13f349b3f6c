"""The judging itself: a figure that is off is seen."""

from dataclasses import replace

import pytest

from gear.audio.proving.plan import Plan
from gear.audio.proving.result import Compression, Fault, Harmonics, Result, Timing
from tests.measure.proving import figures
from tests.measure.proving.figures import MISSING, Figure
from tests.measure.proving.recordings import Score
from tests.simulated import Chain, Compressor, Peak, Polynomial, truth_of

PLAN = Plan(48_000, -12.0)
CHAIN = Chain(
    (Peak(2000, 4), Compressor(-30, 4, 4, 8, 120), Polynomial(0.05, 0.5)),
    clock_ppm=5.0,
    noise_dbfs=-100.0,
)


@pytest.fixture(scope="module")
def truth():
    return truth_of(PLAN, CHAIN)


@pytest.fixture(scope="module")
def right(truth):
    """What a measurement would give that errs in nothing."""
    timings = [(hertz, *truth.timing(hertz)[:2]) for hertz in (1000.0, 5000.0)]
    levels = [level for level, _ in truth.curve]
    return Result(
        rate_hz=48_000,
        clock_ppm=5.0,
        latency_samples=0.0,
        polarity=1,
        gain_db=truth.at_1_khz_db,
        signal_to_noise_db=60.0,
        response_db=tuple(truth.response_db),
        response_level_db=-30.0,
        harmonics=tuple(
            Harmonics(level, truth.harmonic_db(level, 2), truth.harmonic_db(level, 3), None)
            for level in levels
        ),
        curve=truth.curve,
        compression=Compression(*truth.compression),
        timings=tuple(Timing(*each) for each in timings),
        noise_dbfs=truth.noise_dbfs,
        noise_a_dbfs=truth.noise_a_dbfs,
        hum=(),
    )


def _off(truth, result) -> dict[Figure, float]:
    return dict(figures.judged(truth, result))


def test_what_errs_in_nothing_is_off_by_nothing(truth, right):
    off = _off(truth, right)
    assert set(off) == {*figures.ALL} - {figures.LATENCY, figures.NOT_TOLD}
    assert max(map(abs, off.values())) < 1e-9


def _spoiled(right: Result) -> dict[Figure, Result]:
    first, *rest = right.response_db
    second, third = (
        tuple(
            replace(each, **{name: None if each is right.harmonics[-1] else getattr(each, name)})
            for each in right.harmonics
        )
        for name in ("second_db", "third_db")
    )
    (into, out), *stairs = right.curve
    late = [replace(each, release_ms=1.06 * each.release_ms) for each in right.timings]
    slow = [replace(each, attack_ms=1.2 * each.attack_ms) for each in right.timings]
    return {
        figures.RESPONSE: replace(right, response_db=(first, None, *rest[1:])),
        figures.GAIN: replace(right, gain_db=right.gain_db + 0.006),
        figures.CLOCK: replace(right, clock_ppm=5.02),
        figures.POLARITY: replace(right, polarity=-1),
        figures.NOISE: replace(right, noise_dbfs=right.noise_dbfs - 0.11),
        figures.NOISE_A: replace(right, noise_a_dbfs=right.noise_a_dbfs + 0.11),
        figures.SECOND: replace(right, harmonics=second),
        figures.THIRD: replace(right, harmonics=third),
        figures.CURVE: replace(right, curve=((into, out + 0.06), *stairs)),
        figures.THRESHOLD: replace(right, compression=None),
        figures.RATIO: replace(
            right, compression=replace(right.compression, ratio=1.1 * right.compression.ratio)
        ),
        figures.ATTACK: replace(right, timings=tuple(slow)),
        figures.RELEASE: replace(right, timings=tuple(late)),
        figures.LEVEL_SEEN: replace(right, response_level_db=None),
        figures.FALSE_ALARM: replace(right, faults=(Fault("crackles", "It crackles.", 3.0),)),
    }


def test_each_figure_that_is_off_is_seen(truth, right):
    for figure, spoiled in _spoiled(right).items():
        off = _off(truth, spoiled)[figure]
        assert not Score(figure, (off,), 1).holds, figure.name


def test_little_above_the_knee_has_to_be_said():
    truth = truth_of(PLAN, Chain((Compressor(-13, 4, release_ms=50),)))
    told = dict(figures.compression(truth, Compression(-13.0, 4.0, 0.0)))
    assert told == {figures.NOT_TOLD: MISSING}
    assert dict(figures.compression(truth, None)) == {figures.NOT_TOLD: 0}


@pytest.mark.parametrize(
    ("off", "holds"),
    [
        ([0.04] * 19 + [0.09], True),
        ([0.04] * 18 + [0.09, -0.09], False),
        ([0.04] * 99 + [-0.11], False),
        ([0.04] * 99 + [MISSING], False),
    ],
)
def test_a_figure_holds_in_95_of_100_and_within_its_limit_always(off, holds):
    assert Score(figures.RESPONSE, tuple(off), 1).holds == holds
