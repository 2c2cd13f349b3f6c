"""Equaliser and compressor curves against their published formulas.

The Audio EQ Cookbook is a W3C Group Note of 8 June 2021. Its filters are computed here once more
from the text (`cookbook`), and their responses by scipy.signal, which knows nothing of ours.
"""

import math

import numpy as np
import pytest
from scipy import signal

from gear.audio.curves import (
    Band,
    Compressor,
    frequencies,
    order_of_slope,
    response_db,
)

S1 = math.sqrt(0.5)  # the Q of a shelf of slope 1


def cookbook(band: Band, rate: int) -> tuple[list[float], list[float]]:
    """The biquad of the band, written down from the Cookbook's text."""
    a_, w0 = 10 ** (band.gain_db / 40), 2 * math.pi * band.frequency_hz / rate
    c, alpha = math.cos(w0), math.sin(w0) / (2 * band.q)
    root = 2 * math.sqrt(a_) * alpha
    up, down = a_ + 1, a_ - 1
    match band.shape:
        case "peak":
            return [1 + alpha * a_, -2 * c, 1 - alpha * a_], [
                1 + alpha / a_,
                -2 * c,
                1 - alpha / a_,
            ]
        case "low cut":
            return [(1 + c) / 2, -(1 + c), (1 + c) / 2], [1 + alpha, -2 * c, 1 - alpha]
        case "high cut":
            return [(1 - c) / 2, 1 - c, (1 - c) / 2], [1 + alpha, -2 * c, 1 - alpha]
        case "low shelf":
            return (
                [
                    a_ * (up - down * c + root),
                    2 * a_ * (down - up * c),
                    a_ * (up - down * c - root),
                ],
                [up + down * c + root, -2 * (down + up * c), up + down * c - root],
            )
        case _:
            return (
                [
                    a_ * (up + down * c + root),
                    -2 * a_ * (down + up * c),
                    a_ * (up + down * c - root),
                ],
                [up - down * c + root, 2 * (down - up * c), up - down * c - root],
            )


BANDS = [
    Band("peak", 1000, 6, 1),
    Band("peak", 60, -12, 4.3),
    Band("peak", 8000, 9, 0.4),
    Band("low shelf", 120, 8, S1),
    Band("low shelf", 120, -8, 1.1),
    Band("high shelf", 7000, 5, S1),
    Band("high shelf", 7000, -15, 0.5),
    Band("low cut", 80),
    Band("high cut", 9000),
]


@pytest.mark.parametrize("band", BANDS, ids=str)
@pytest.mark.parametrize("rate", [44100, 96000])
def test_response_is_that_of_scipy_on_the_cookbooks_filter(band, rate):
    """The Cookbook's filter is digital: the same as the analogue one at the frequency that the
    bilinear transform brings there."""
    hertz = np.array(frequencies(40))
    _, response = signal.freqz(*cookbook(band, rate), worN=hertz, fs=rate)

    ours = [band.gain_at(before_the_transform(f, band, rate)) for f in hertz]

    assert ours == pytest.approx(20 * np.log10(np.abs(response)), abs=1e-6)


def before_the_transform(hertz: float, band: Band, rate: int) -> float:
    warped = math.tan(math.pi * hertz / rate) / math.tan(math.pi * band.frequency_hz / rate)
    return band.frequency_hz * warped


@pytest.mark.parametrize("order", [1, 2, 3, 4, 5, 8])
@pytest.mark.parametrize(("shape", "kind"), [("low cut", "highpass"), ("high cut", "lowpass")])
def test_cuts_of_every_order_are_scipys_butterworth_filters(order, shape, kind):
    hertz = np.array(frequencies(25))
    b, a = signal.butter(order, 2 * math.pi * 400, kind, analog=True)
    _, analogue = signal.freqs(b, a, worN=2 * math.pi * hertz)
    band = Band(shape, 400, order=order)

    assert [band.gain_at(f) for f in hertz] == pytest.approx(
        20 * np.log10(np.abs(analogue)), abs=1e-6
    )


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
    """Computed from the Cookbook's formulas; a shelf has half its gain at its frequency."""
    gain_there = band.gain_at(before_the_transform(hertz, band, 48000))

    assert gain_there == pytest.approx(gain, abs=6e-4)


def test_a_boost_and_the_same_cut_cancel():
    """A property of the Cookbook's peak: equal frequency and Q, opposite gain."""
    pair = [Band("peak", 1000, 6, 1), Band("peak", 1000, -6, 1)]

    assert [response_db(pair, f) for f in (30, 1000, 9000)] == pytest.approx([0, 0, 0], abs=1e-12)


def test_slope_of_a_cut_is_six_decibels_an_octave_for_each_order():
    """An octave apart, far from the corner: the textbook slope."""
    for slope in (6, 12, 18, 24):
        band = Band("low cut", 1000, order=order_of_slope(slope))
        assert band.gain_at(40) - band.gain_at(20) == pytest.approx(slope, abs=0.1)


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
    """Giannoulis, Massberg, Reiss, JAES 60(6) 2012, p. 399-408: values computed from its formula."""
    compressor = Compressor(*curve)

    assert [compressor.output_db(x) for x in points] == pytest.approx(
        list(points.values()), abs=6e-5
    )


@pytest.mark.parametrize("ratio", [1.5, 4, math.inf])
@pytest.mark.parametrize("knee", [1, 6, 12, 30])
def test_knee_joins_both_straight_lines_in_value_and_slope(ratio, knee):
    """The same paper: the soft knee is continuous, and so is its slope."""
    compressor, step = Compressor(-20, ratio, knee), 1e-6
    for end, slope in ((-20 - knee / 2, 1), (-20 + knee / 2, 1 / ratio)):
        below, at, above = (compressor.output_db(end + side) for side in (-step, 0, step))
        assert above - below == pytest.approx(2 * slope * step, abs=1e-9)
        assert at == pytest.approx((above + below) / 2, abs=1e-9)


def test_reduction_at_the_middle_of_the_knee():
    """(1 - 1/R) W / 8 by the same formula: 0.9375 dB for 4:1 and 10 dB."""
    assert Compressor(-20, 4, 10).reduction_db(-20) == pytest.approx(0.9375)


def test_make_up_that_brings_0_db_back():
    """15 dB for a threshold of -20 dB at 4:1, by the same formula."""
    assert Compressor(-20, 4, make_up_db=15).output_db(0) == pytest.approx(0)
