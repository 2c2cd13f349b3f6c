"""First-order patterns, r = A + B cos(angle): a maker's dictionary of microphone terms names them
so; the figures are computed from that form."""

import math

import pytest

from gear.audio.levels import distance_db, thermal_noise_dbu
from gear.audio.patterns import CARDIOID, EIGHT, HYPER, OMNI, SUPER, WIDE


@pytest.mark.parametrize(
    ("pattern", "at_90", "at_180"),
    [
        (OMNI, 0, 0),
        (WIDE, -3.10, -7.96),
        (CARDIOID, -6.02, -math.inf),
        (SUPER, -8.64, -11.70),
        (HYPER, -12.04, -6.02),
        (EIGHT, -math.inf, 0),
    ],
)
def test_table_of_patterns(pattern, at_90, at_180):
    assert pattern.gain_db(90) == pytest.approx(at_90, abs=0.006)
    assert pattern.gain_db(180) == pytest.approx(at_180, abs=0.006)


@pytest.mark.parametrize(
    ("pattern", "null"), [(CARDIOID, 180), (SUPER, 126.0), (HYPER, 109.5), (EIGHT, 90)]
)
def test_nulls(pattern, null):
    assert pattern.gain_db(null) < -50


@pytest.mark.parametrize(
    ("near", "far", "decibels"), [(10, 20, -6.02), (10, 30, -9.54), (30, 15, 6.02)]
)
def test_sound_falls_with_distance(near, far, decibels):
    """Inverse distance law: -6.02 dB for each doubling, -9.54 dB by the 3:1 rule."""
    assert distance_db(near, far) == pytest.approx(decibels, abs=0.005)


@pytest.mark.parametrize(("ohms", "dbu"), [(150, -130.92), (200, -129.67)])
def test_thermal_noise(ohms, dbu):
    """sqrt(4 k T R B) at 20 °C over 20 kHz (Johnson and Nyquist), in dBu."""
    assert thermal_noise_dbu(ohms) == pytest.approx(dbu, abs=0.006)
