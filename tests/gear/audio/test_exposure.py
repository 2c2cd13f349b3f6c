import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.exposure import (
    DEFERENCE,
    NIOSH,
    allowed_minutes,
    dose_percent,
    exposure_verdict,
)


@given(st.floats(min_value=60, max_value=115))
def test_allowed_time_is_exactly_the_whole_dose(level):
    minutes = allowed_minutes(level)

    assert dose_percent([(level, minutes)]) == pytest.approx(100)


def test_nothing_is_allowed_above_the_ceiling():
    assert allowed_minutes(140) > 0
    assert allowed_minutes(140.1) == 0
    assert dose_percent([(141, 1)]) == math.inf
    assert dose_percent([(141, 0)]) == 0


def test_exposure_refuses_negative_numbers():
    with pytest.raises(ValueError, match="A duration cannot be negative."):
        dose_percent([(85, -1)])


@pytest.mark.parametrize(
    ("level", "minutes", "severity", "sentence"),
    [
        (85, 239, "ok", "85 dB(A) for 4.0 h is 50 % of a day’s allowance. A guide"),
        (85, 240, "caution", "is 50 % of a day’s allowance. Turn down or take breaks."),
        (85, 480, "caution", "85 dB(A) for 8.0 h is 100 % of a day’s allowance."),
        (100, 60, "warning", "for 60 min is 400 % of a day’s allowance. Turn down, or stop after 15 min."),
        (115, 0.5, "warning", "for 30 s is 107 % of a day’s allowance. Turn down, or stop after 28 s."),
        (141, 1, "warning", "141 dB(A) for 1 min is never allowed. Turn down."),
    ],
)  # fmt: skip
def test_exposure_verdict_says_share_advice_and_who_decides(level, minutes, severity, sentence):
    verdict = exposure_verdict(level, minutes)

    assert verdict.severity == severity
    assert sentence in verdict.sentence
    assert verdict.sentence.endswith(DEFERENCE)
    assert verdict.basis == NIOSH
