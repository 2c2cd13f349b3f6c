import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.exposure import (
    DEFERENCE,
    EU_LIMIT,
    NIOSH,
    OSHA,
    Criterion,
    allowed_minutes,
    dose_percent,
    eight_hour_level,
    exposure_verdict,
)

criteria = st.sampled_from([NIOSH, OSHA, EU_LIMIT])


@given(st.floats(min_value=60, max_value=115), criteria)
def test_allowed_time_is_exactly_the_whole_dose(level, criterion):
    minutes = allowed_minutes(level, criterion)

    assert dose_percent([(level, minutes)], criterion) == pytest.approx(100)


@given(st.floats(min_value=60, max_value=115), criteria)
def test_eight_hours_at_a_level_read_back_as_that_level(level, criterion):
    dose = dose_percent([(level, 480)], criterion)

    assert eight_hour_level(dose, criterion) == pytest.approx(level)


def test_nothing_is_allowed_above_the_ceiling():
    assert allowed_minutes(140, NIOSH) > 0
    assert allowed_minutes(140.1, NIOSH) == 0
    assert dose_percent([(116, 1)], OSHA) == math.inf
    assert dose_percent([(116, 0)], OSHA) == 0


def test_levels_below_the_threshold_add_nothing():
    counted_from_90 = Criterion("a stricter house", 90, 5, threshold_db=90)

    assert dose_percent([(90, 240), (89.9, 240)], counted_from_90) == pytest.approx(50)


def test_silence_has_no_level():
    assert eight_hour_level(0, NIOSH) == -math.inf


def test_exposure_refuses_negative_numbers():
    with pytest.raises(ValueError, match="A duration cannot be negative."):
        dose_percent([(85, -1)], NIOSH)
    with pytest.raises(ValueError, match="A dose cannot be negative."):
        eight_hour_level(-1, NIOSH)


@pytest.mark.parametrize(
    ("level", "minutes", "criterion", "severity", "sentence"),
    [
        (85, 239, NIOSH, "ok", "85 dB(A) for 4.0 h is 50 % of a day’s allowance. A guide"),
        (85, 240, NIOSH, "caution", "is 50 % of a day’s allowance. Turn down or take breaks."),
        (85, 480, NIOSH, "caution", "85 dB(A) for 8.0 h is 100 % of a day’s allowance."),
        (100, 60, NIOSH, "warning", "for 60 min is 400 % of a day’s allowance. Turn down, or stop after 15 min."),
        (115, 0.5, NIOSH, "warning", "for 30 s is 107 % of a day’s allowance. Turn down, or stop after 28 s."),
        (116, 1, OSHA, "warning", "116 dB(A) for 1 min is never allowed. Turn down."),
    ],
)  # fmt: skip
def test_exposure_verdict_says_share_advice_and_who_decides(
    level, minutes, criterion, severity, sentence
):
    verdict = exposure_verdict(level, minutes, criterion)

    assert verdict.severity == severity
    assert sentence in verdict.sentence
    assert verdict.sentence.endswith(DEFERENCE)
    assert verdict.basis == criterion.name
