"""The static curve from the stairs, and the compressor that it is the curve of."""

import math

import numpy as np
import pytest

from gear.audio.curves import Compressor
from gear.audio.proving.curve import compression, static_curve
from gear.audio.proving.plan import STAIR_S, STAIRS_DB, Plan
from gear.audio.proving.signal import section_at

PLAN = Plan(48_000, -6.0)
STAIRCASE = PLAN.of("staircase")[0]
LEVELS = np.array([PLAN.ceiling_dbfs + level for level in STAIRS_DB])


def curve_of(compressor: Compressor, doubt_db: float = 0.0, seed: int = 1):
    chance = np.random.default_rng(seed)
    return tuple(
        (float(level), compressor.output_db(level) + doubt_db * chance.standard_normal())
        for level in LEVELS
    )


def played(rate_hz: float = 48_000) -> np.ndarray:
    at = np.arange(round(STAIRCASE.length_s * rate_hz)) / rate_hz
    return 10 ** (PLAN.ceiling_dbfs / 20) * section_at(PLAN, STAIRCASE, at)


def compressed(samples: np.ndarray, compressor: Compressor, rate_hz: float, attack_s: float):
    """The gain goes to each step's in decibels, as if smoothed there."""
    stair = STAIR_S * rate_hz
    at = np.arange(samples.size)
    gains = np.array([compressor.output_db(level) - level for level in LEVELS])
    step = np.minimum(at // stair, len(LEVELS) - 1).astype(int)
    before = gains[np.maximum(step - 1, 0)]
    left = np.exp(-(at - step * stair) / (attack_s * rate_hz))
    return samples * 10 ** ((gains[step] + (before - gains[step]) * left) / 20)


@pytest.mark.parametrize("attack_s", [0.05, 0.15])
def test_each_step_of_the_curve_is_right_to_a_twentieth_of_a_decibel(attack_s):
    """At the clock of another recorder, noise 70 dB below the ceiling; the slower attack is 0.1 dB short of its end
    where a step is read."""
    rate = 48_000 * (1 - 80e-6)
    compressor = Compressor(-24, 4, 6, make_up_db=5)
    sound = compressed(played(rate), compressor, rate, attack_s)
    sound += 10 ** (-76 / 20) / math.sqrt(2) * np.random.default_rng(1).standard_normal(sound.size)
    curve, _ = static_curve(PLAN, sound, rate)
    assert [into for into, _ in curve] == list(LEVELS)
    expected = [compressor.output_db(level) for level in LEVELS]
    assert [out for _, out in curve] == pytest.approx(expected, abs=0.05)


def test_curve_of_a_cable_is_straight_and_clean():
    curve, harmonics = static_curve(PLAN, played(), 48_000)
    assert [out for _, out in curve] == pytest.approx(list(LEVELS), abs=1e-4)
    assert [each.in_dbfs for each in harmonics] == list(LEVELS)
    assert compression(curve) == (None, "Nothing compresses up to the file’s loudest level.")


def test_harmonics_stand_with_the_level_that_they_belong_to():
    """y = x + 0.02 x²: the second is 0.01 of the amplitude, so that it rises by 2 dB with each step."""
    sound = played()
    sound = sound + 0.02 * sound**2
    sound += 1e-6 * np.random.default_rng(1).standard_normal(sound.size)
    _, harmonics = static_curve(PLAN, sound, 48_000)
    for each in harmonics[-10:]:
        assert each.second_db == pytest.approx(-40 + each.in_dbfs, abs=0.1)
        assert each.all_db == pytest.approx(each.second_db, abs=0.1)
        assert each.third_db is None


@pytest.mark.parametrize("knee", [0, 6, 12])
@pytest.mark.parametrize("ratio", [1.5, 4, 20])
def test_threshold_and_ratio_are_told_from_6_db_above_the_knee_on(ratio, knee):
    """Every step read to some thousandths of a decibel: within 0.3 dB and 5 %, 95 times in 100."""
    right = 0
    for seed in range(20):
        threshold = PLAN.ceiling_dbfs - 6 - knee / 2 - seed / 2
        found, why_not = compression(curve_of(Compressor(threshold, ratio, knee, 3), 0.005, seed))
        assert why_not is None
        near = abs(found.threshold_dbfs - threshold) <= 0.3
        right += near and abs(found.ratio / ratio - 1) <= 0.05
    assert right >= 19


def test_knee_comes_out_as_it_was():
    found, _ = compression(curve_of(Compressor(-22, 3, 8)))
    assert (found.threshold_dbfs, found.ratio, found.knee_db) == pytest.approx(
        (-22, 3, 8), abs=0.01
    )


def test_limiter_has_a_ratio_that_can_be_written_down():
    found, _ = compression(curve_of(Compressor(-20, math.inf)))
    assert found.ratio == 100
    assert found.threshold_dbfs == pytest.approx(-20, abs=0.05)


@pytest.mark.parametrize(
    ("compressor", "why"),
    [
        (Compressor(0, 4), "Nothing compresses up to the file’s loudest level."),
        (Compressor(-8, 4), "About 2 dB of the curve lie above the knee: 3 dB or more are needed"),
        (
            Compressor(-9, 8, 4),
            "About 1 dB of the curve lie above the knee: 3 dB or more are needed",
        ),
        (Compressor(-50, 4), "It compresses at the file’s lowest level already."),
        (Compressor(-44, 2, 10), "It compresses at the file’s lowest level already."),
    ],
)
def test_what_cannot_be_told_says_why(compressor, why):
    found, why_not = compression(curve_of(compressor, 0.005))
    assert found is None
    assert why_not.startswith(why)


@pytest.mark.parametrize(("threshold", "is_told"), [(-10, False), (-14, True)])
def test_behind_a_compressor_that_distorts_more_has_to_lie_above_the_knee(threshold, is_told):
    """A cube that lifts what comes out at the threshold by 0.4 dB."""
    compressor, peak = Compressor(threshold, 3), 10 ** (threshold / 20)
    lifted = tuple(
        (into, out + 20 * math.log10(1 + 0.05 * 10 ** (out / 10) / peak**2))
        for into, out in curve_of(compressor)
    )
    found, why_not = compression(lifted)
    assert (found is not None) == is_told
    assert is_told or "6 dB or more are needed to tell threshold and ratio, since it distorts" in (
        why_not
    )


def test_curve_of_another_shape_is_no_compressors():
    """It sinks by 8 dB at the middle steps and comes back: no threshold, ratio and knee do that."""
    curve = [(level, level - 8 * math.exp(-(((level + 22) / 6) ** 2))) for level in LEVELS]
    found, why_not = compression(tuple(curve))
    assert found is None
    assert why_not == "The curve bends in another way than that of a threshold, a ratio and a knee."


def test_narrow_knee_that_steps_of_2_db_do_not_show_is_called_hard():
    found, _ = compression(curve_of(Compressor(-23, 3, 0.5), 0.002))
    assert found.knee_db == 0
    assert found.threshold_dbfs == pytest.approx(-23, abs=0.1)


def test_silent_steps_tell_nothing():
    assert compression(tuple((float(level), -math.inf) for level in LEVELS)) == (
        None,
        "Some steps of the curve are silent.",
    )
