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
    q_of_bandwidth,
    response_db,
)

S1 = math.sqrt(0.5)  # the Q of a shelf of slope 1


@pytest.mark.parametrize(
    ("band", "rate", "b", "a"),
    [
        (
            Band("peak", 1000, 6, 1),
            48000,
            (1.0439530870, -1.8953207239, 0.8677222848),
            (-1.8953207239, 0.9116753718),
        ),
        (
            Band("peak", 1000, -6, 1),
            48000,
            (0.9578974501, -1.8155228885, 0.8732915139),
            (-1.8155228885, 0.8311889639),
        ),
        (
            Band("peak", 3000, 4, 2),
            44100,
            (1.0444855240, -1.6816402001, 0.8033994416),
            (-1.6816402001, 0.8478849656),
        ),
        (
            Band("low cut", 80),
            48000,
            (0.9926225428, -1.9852450855, 0.9926225428),
            (-1.9851906579, 0.9852995131),
        ),
        (
            Band("high cut", 8000),
            48000,
            (0.1550510257, 0.3101020514, 0.1550510257),
            (-0.6202041029, 0.2404082058),
        ),
        (
            Band("low shelf", 100, 3, S1),
            48000,
            (1.0016016782, -1.9829902537, 0.9815905062),
            (-1.9830197411, 0.9831626971),
        ),
        (
            Band("high shelf", 10000, -4, S1),
            48000,
            (0.7667373282, -0.1341063981, 0.1357017588),
            (-0.4372405970, 0.2055732859),
        ),
    ],
)
def test_coefficients_of_the_cookbook(band, rate, b, a):
    """Computed from the Cookbook's formulas, a0 brought to 1."""
    [(ours_b, ours_a)] = band.digital_sections(rate)

    tolerance = 2e-5 if "cut" in band.shape else 1e-9  # their Q is rounded to 0.7071 in the table
    assert ours_b == pytest.approx(b, abs=tolerance)
    assert ours_a == pytest.approx((1, *a), abs=tolerance)


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


@pytest.mark.parametrize("rate", [44100, 96000])
@pytest.mark.parametrize("band", BANDS, ids=str)
def test_digital_response_is_that_of_scipy_on_the_cookbooks_filter(band, rate):
    hertz = np.array(frequencies(40))
    _, response = signal.freqz(*cookbook(band, rate), worN=hertz, fs=rate)

    ours = [band.digital_gain_at(f, rate) for f in hertz]

    assert ours == pytest.approx(20 * np.log10(np.abs(response)), abs=1e-6)


@pytest.mark.parametrize("band", BANDS, ids=str)
def test_analogue_response_is_what_the_digital_one_tends_to(band):
    """At a sample rate far above what is heard, scipy's response of the Cookbook's filter."""
    hertz, rate = np.array(frequencies(20)), 6_144_000
    _, response = signal.freqz(*cookbook(band, rate), worN=hertz, fs=rate)

    ours = [band.gain_at(f) for f in hertz]

    assert ours == pytest.approx(20 * np.log10(np.abs(response)), abs=5e-3)


@pytest.mark.parametrize("order", [1, 2, 3, 4, 5, 8])
@pytest.mark.parametrize(("shape", "kind"), [("low cut", "highpass"), ("high cut", "lowpass")])
def test_cuts_of_every_order_are_scipys_butterworth_filters(order, shape, kind):
    hertz = np.array(frequencies(25))
    b, a = signal.butter(order, 2 * math.pi * 400, kind, analog=True)
    _, analogue = signal.freqs(b, a, worN=2 * math.pi * hertz)
    _, digital = signal.freqz(*signal.butter(order, 400, kind, fs=48000), worN=hertz[:-1], fs=48000)
    band = Band(shape, 400, order=order)

    assert [band.gain_at(f) for f in hertz] == pytest.approx(
        20 * np.log10(np.abs(analogue)), abs=1e-6
    )
    assert [band.digital_gain_at(f, 48000) for f in hertz[10:-1]] == pytest.approx(
        20 * np.log10(np.abs(digital[10:])), abs=1e-3
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
    assert band.digital_gain_at(hertz, 48000) == pytest.approx(gain, abs=6e-4)


def test_a_boost_and_the_same_cut_cancel():
    """A property of the Cookbook's peak: equal frequency and Q, opposite gain."""
    pair = [Band("peak", 1000, 6, 1), Band("peak", 1000, -6, 1)]

    assert [response_db(pair, f) for f in (30, 1000, 9000)] == pytest.approx([0, 0, 0], abs=1e-12)


@pytest.mark.parametrize(
    ("octaves", "q"),
    [
        (1 / 3, 4.318),
        (1 / 2, 2.871),
        (2 / 3, 2.145),
        (1, 1.414),
        (1.5, 0.920),
        (2, 0.667),
        (3, 0.404),
    ],
)
def test_bandwidth_in_octaves(octaves, q):
    """1/Q = 2 sinh(ln 2 / 2 x octaves), the Cookbook's analogue relation."""
    assert q_of_bandwidth(octaves) == pytest.approx(q, abs=6e-4)


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
