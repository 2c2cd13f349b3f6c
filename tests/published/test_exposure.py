"""Sound exposure against the published table."""

import pytest

from gear.audio.exposure import allowed_minutes, dose_percent


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
    assert allowed_minutes(level) == pytest.approx(minutes, rel=0.006)


@pytest.mark.parametrize(
    ("exposures", "dose"),
    [([(94, 120)], 200), ([(88, 120), (91, 60), (85, 240)], 150)],
)
def test_niosh_dose(exposures, dose):
    """Computed from 100 x the sum of C / T with the table above."""
    assert dose_percent(exposures) == pytest.approx(dose)
