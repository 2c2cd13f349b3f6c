"""Sound exposure against the published table."""

import pytest

from gear.audio.exposure import allowed_minutes, dose_percent

#: NIOSH 98-126 (1998): 85 dBA for 8 h, 3 dB exchange; times cut to whole seconds. As quoted at
#: engineeringtoolbox.com/noise-exposure-level-duration-d_717.html. Minutes by dBA.
NIOSH = {
    80: 25 * 60 + 24,
    82: 16 * 60,
    85: 8 * 60,
    88: 4 * 60,
    91: 2 * 60,
    94: 60,
    97: 30,
    100: 15,
    103: 7.5,
    106: 3.75,
    109: 1 + 53 / 60,
    112: 56 / 60,
    115: 28 / 60,
}


@pytest.mark.parametrize(("level", "minutes"), NIOSH.items())
def test_niosh_table(level, minutes):
    assert allowed_minutes(level) == pytest.approx(minutes, rel=0.006)


@pytest.mark.parametrize(
    ("level", "minutes"), [(88, 240), (91, 120), (94, 60), (97, 30), (100, 15)]
)
def test_equal_energy_table(level, minutes):
    """European Commission, SCENIHR, opinion on personal music players (2008), table 3, column of 85
    dB(A): ec.europa.eu/health/opinions/en/hearing-loss-personal-music-player-mp3."""
    assert allowed_minutes(level) == pytest.approx(minutes)


@pytest.mark.parametrize(
    "exposures",
    [
        [(94, 120)],
        [(88, 120), (91, 60), (85, 240)],
        [(100, 15), (80, 60)],
        [(115, 28 / 60)],
    ],
)
def test_dose_is_the_sum_of_the_shares_of_the_tabulated_times(exposures):
    """D = 100 (C1/T1 + C2/T2 + ...), as in WAC 296-307-63415 (Washington State), with the times of
    the NIOSH table."""
    dose = 100 * sum(minutes / NIOSH[level] for level, minutes in exposures)

    assert dose_percent(exposures) == pytest.approx(dose, rel=0.006)
