"""Self-checks: figures worked out once from the formulas that the code has, so that a change shows.

Outside checks of the same curves stand in `tests/published/test_curves.py`.
"""

import math

import pytest

from gear.audio.curves import Band, Compressor

S1 = math.sqrt(0.5)  # the Q of a shelf of slope 1


@pytest.mark.parametrize(
    ("band", "hertz", "gain"),
    [
        (Band("peak", 1000, 6, 1), 500, 1.879),
        (Band("peak", 1000, 6, 1), 1000, 6.000),
        (Band("peak", 1000, 6, 1), 2000, 1.866),
        (Band("low cut", 80), 40, -12.305),
        (Band("low cut", 80), 80, -3.010),
        (Band("low cut", 80), 160, -0.263),
        (Band("low shelf", 100, 3, S1), 100, 1.5),
        (Band("high shelf", 10000, -4, S1), 10000, -2.0),
    ],
)
def test_magnitudes_at_48_khz(band, hertz, gain):
    """Worked out from the Cookbook's formulas."""
    warped = math.tan(math.pi * hertz / 48000) / math.tan(math.pi * band.frequency_hz / 48000)

    gain_there = band.gain_at(band.frequency_hz * warped)

    assert gain_there == pytest.approx(gain, abs=6e-4)


COMPRESSORS = [
    ((-20, 4, 0), {-40: -40, -20: -20, -18: -19.5, -10: -17.5, -6: -16.5, 0: -15}),
    (
        (-20, 4, 10),
        {-25: -25, -22: -22.3375, -20: -20.9375, -18: -19.8375, -15: -18.75, -10: -17.5},
    ),
    ((-18, 3, 6), {-22: -22, -20: -20.0556, -18: -18.5, -15: -17, -10: -15.3333, 0: -12}),
    ((-24, 2, 12), {-25: -25.5208, -24: -24.75, -18: -21, 0: -12}),
    ((-10, math.inf, 0), {-5: -10, 0: -10}),
]


@pytest.mark.parametrize(("curve", "points"), COMPRESSORS, ids=str)
def test_compressor_curve(curve, points):
    """Worked out from the formula of Giannoulis, Massberg and Reiss, JAES 60(6) 2012."""
    compressor = Compressor(*curve)

    assert [compressor.output_db(x) for x in points] == pytest.approx(
        list(points.values()), abs=6e-5
    )


def test_reduction_at_the_middle_of_the_knee():
    """(1 - 1/R) W / 8 by the same formula: 0.9375 dB for 4:1 and 10 dB."""
    assert Compressor(-20, 4, 10).reduction_db(-20) == pytest.approx(0.9375)


def test_make_up_that_brings_0_db_back():
    """15 dB for a threshold of -20 dB at 4:1, by the same formula."""
    assert Compressor(-20, 4, make_up_db=15).output_db(0) == pytest.approx(0)
