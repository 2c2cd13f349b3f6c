"""Sound exposure against the published tables of three rules."""

import pytest

from gear.audio.exposure import (
    EU_LIMIT,
    EU_LOWER_ACTION,
    EU_UPPER_ACTION,
    NIOSH,
    OSHA,
    allowed_minutes,
    dose_percent,
    eight_hour_level,
)


@pytest.mark.parametrize(
    ("level", "minutes"),
    [
        (80, 25 * 60 + 24),
        (82, 16 * 60),
        (85, 8 * 60),
        (88, 4 * 60),
        (91, 2 * 60),
        (94, 60),
        (97, 30),
        (100, 15),
        (103, 7.5),
        (106, 3.75),
        (109, 1 + 53 / 60),
        (112, 56 / 60),
        (115, 28 / 60),
    ],
)
def test_niosh_table(level, minutes):
    """NIOSH 98-126 (1998): 85 dBA for 8 h, 3 dB exchange; times cut to whole seconds."""
    assert allowed_minutes(level, NIOSH) == pytest.approx(minutes, rel=0.006)


@pytest.mark.parametrize(
    ("exposures", "dose"),
    [([(94, 120)], 200), ([(88, 120), (91, 60), (85, 240)], 150)],
)
def test_niosh_dose(exposures, dose):
    """Computed from 100 x the sum of C / T with the table above."""
    assert dose_percent(exposures, NIOSH) == pytest.approx(dose)


@pytest.mark.parametrize(
    ("level", "hours"),
    [
        (90, 8),
        (92, 6),
        (95, 4),
        (97, 3),
        (100, 2),
        (102, 1.5),
        (105, 1),
        (110, 0.5),
        (115, 0.25),
    ],
)
def test_osha_table_g16(level, hours):
    """OSHA 29 CFR 1910.95 table G-16; it rounds the formula to handy hours (up to 2 %)."""
    tolerance = 0.02 if level in (92, 97, 102) else 1e-9
    exact = {92: 6.063, 97: 3.031, 102: 1.516}

    assert allowed_minutes(level, OSHA) == pytest.approx(60 * hours, rel=tolerance)
    if level in exact:
        assert allowed_minutes(level, OSHA) == pytest.approx(60 * exact[level], rel=3e-4)


def test_osha_appendix_a_example():
    """OSHA 1910.95 appendix A: 92 dB all day is a dose of 131 % and a level of 92 dB."""
    dose = dose_percent([(92, 480)], OSHA)

    assert dose == pytest.approx(131, rel=0.01)
    assert eight_hour_level(dose, OSHA) == pytest.approx(92)
    assert eight_hour_level(131, OSHA) == pytest.approx(91.95, abs=0.005)


def test_osha_mixed_day_and_action_level():
    """OSHA 1910.95: mixed exposures add as C / T; 85 dBA all day is a dose of 50 %."""
    assert dose_percent([(90, 240), (95, 120), (85, 120)], OSHA) == pytest.approx(112.5)
    assert dose_percent([(85, 480)], OSHA) == pytest.approx(50)


@pytest.mark.parametrize(
    ("criterion", "levels"),
    [
        (EU_LOWER_ACTION, (83, 86, 89, 92, 95)),
        (EU_UPPER_ACTION, (88, 91, 94, 97, 100)),
        (EU_LIMIT, (90, 93, 96, 99, 102)),
    ],
)
def test_directive_2003_10_equal_energy_table(criterion, levels):
    """Directive 2003/10/EC article 3, as tabulated by the EU's scientific committee (2008)."""
    for level, minutes in zip(levels, (240, 120, 60, 30, 15), strict=True):
        assert allowed_minutes(level, criterion) == pytest.approx(minutes, rel=0.02)


@pytest.mark.parametrize(
    ("exposures", "daily"),
    [([(91, 120)], 84.98), ([(85, 240), (88, 120), (94, 30)], 86.75)],
)
def test_daily_exposure_level(exposures, daily):
    """L EX,8h = 10 log10(sum of t 10^(L/10) / 8 h), computed from that definition."""
    assert eight_hour_level(dose_percent(exposures, EU_LIMIT), EU_LIMIT) == pytest.approx(
        daily, abs=0.006
    )
