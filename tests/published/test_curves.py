"""Equaliser and compressor curves against their published formulas.

The Audio EQ Cookbook is a W3C Group Note of 8 June 2021. Its filters are computed here once more
from the text (`cookbook`), and their responses by scipy.signal, which knows nothing of ours.
"""

import math

import numpy as np
import pytest
from scipy import interpolate, signal

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


@pytest.mark.parametrize("frequency", [60, 1000, 8000])
@pytest.mark.parametrize("gain", [3, 6, 15])
@pytest.mark.parametrize("q", [0.4, 1, 4.3])
def test_boost_is_what_passes_scipys_band_pass_filter_added(frequency, gain, q):
    """A boost is the signal and more of what a first-order Butterworth band-pass lets through: its
    edges are scipy's business. The Cookbook's Q of a boost is that of the filter over the root of the
    gain."""
    ratio = 10 ** (gain / 20)
    half_width = frequency / (2 * q * math.sqrt(ratio))
    middle = math.hypot(frequency, half_width)
    edges = [2 * math.pi * (middle + side * half_width) for side in (-1, 1)]
    hertz = np.array(frequencies(40))
    _, passed = signal.freqs(
        *signal.butter(1, edges, "bandpass", analog=True), worN=2 * math.pi * hertz
    )
    band = Band("peak", frequency, gain, q)

    assert [band.gain_at(f) for f in hertz] == pytest.approx(
        20 * np.log10(np.abs(1 + (ratio - 1) * passed)), abs=1e-6
    )


@pytest.mark.parametrize(
    ("octaves", "q"),
    [(3, 0.404), (2, 0.667), (1.5, 0.920), (1, 1.414), (2 / 3, 2.145), (1 / 2, 2.871)]
    + [(1 / 3, 4.318), (1 / 6, 8.651)],
)
@pytest.mark.parametrize("gain", [-12, 3, 6])
def test_bandwidth_of_a_peak_by_its_q(octaves, q, gain):
    """jdm12.ch/Audio/EQ_BPF-Q-bandwidth.asp: Q by bandwidth in octaves. The Cookbook measures a peak's
    bandwidth between the points of half its gain in decibels."""
    band = Band("peak", 1000, gain, q)

    for edge in (-octaves / 2, octaves / 2):
        assert band.gain_at(1000 * 2**edge) == pytest.approx(gain / 2, abs=0.005)


@pytest.mark.parametrize(
    ("shape", "far", "untouched"), [("low shelf", 1, 1e6), ("high shelf", 1e6, 1)]
)
def test_shelf_has_half_its_gain_at_its_frequency(shape, far, untouched):
    """The Cookbook's text: f0 of a shelf is the middle of its slope, in decibels."""
    band = Band(shape, 1000, 8, S1)

    assert band.gain_at(1000) == pytest.approx(4)
    assert band.gain_at(far) == pytest.approx(8, abs=0.001)
    assert band.gain_at(untouched) == pytest.approx(0, abs=0.001)


def test_a_boost_and_the_same_cut_cancel():
    """A property of the Cookbook's peak: equal frequency and Q, opposite gain."""
    pair = [Band("peak", 1000, 6, 1), Band("peak", 1000, -6, 1)]

    assert [response_db(pair, f) for f in (30, 1000, 9000)] == pytest.approx([0, 0, 0], abs=1e-12)


def test_slope_of_a_cut_is_six_decibels_an_octave_for_each_order():
    """An octave apart, far from the corner: the textbook slope."""
    for slope in (6, 12, 18, 24):
        band = Band("low cut", 1000, order=order_of_slope(slope))
        assert band.gain_at(40) - band.gain_at(20) == pytest.approx(slope, abs=0.1)


@pytest.mark.parametrize(("threshold", "ratio"), [(-20, 4), (-18, 3), (-24, 2), (-10, math.inf)])
def test_compressor_without_a_knee_is_two_straight_lines(threshold, ratio):
    """Of slope 1 and 1/R, drawn by numpy between three points: what threshold and ratio mean."""
    inputs = np.linspace(-60, 12, 145)
    top = threshold + (12 - threshold) / ratio
    compressor = Compressor(threshold, ratio, 0)

    assert [compressor.output_db(x) for x in inputs] == pytest.approx(
        np.interp(inputs, [-60, threshold, 12], [-60, threshold, top]), abs=1e-9
    )


@pytest.mark.parametrize(("threshold", "ratio"), [(-20, 4), (-18, 3), (-24, 2), (-10, math.inf)])
@pytest.mark.parametrize("knee", [1, 6, 10, 30])
def test_soft_knee_is_scipys_curve_between_the_two_lines(threshold, ratio, knee):
    """Giannoulis, Massberg, Reiss, JAES 60(6) 2012, p. 399-408: the knee is a parabola that meets both
    lines with their slopes. Through two points with two slopes scipy lays the one cubic there is."""
    ends = [threshold - knee / 2, threshold + knee / 2]
    values = [ends[0], threshold + knee / 2 / ratio]
    curve = interpolate.CubicHermiteSpline(ends, values, [1, 1 / ratio])
    inputs = np.linspace(*ends, 41)
    compressor = Compressor(threshold, ratio, knee)

    assert [compressor.output_db(x) for x in inputs] == pytest.approx(curve(inputs), abs=1e-9)


@pytest.mark.parametrize("ratio", [1.5, 4, math.inf])
@pytest.mark.parametrize("knee", [1, 6, 12, 30])
def test_knee_joins_both_straight_lines_in_value_and_slope(ratio, knee):
    """The same paper: the soft knee is continuous, and so is its slope."""
    compressor, step = Compressor(-20, ratio, knee), 1e-6
    for end, slope in ((-20 - knee / 2, 1), (-20 + knee / 2, 1 / ratio)):
        below, at, above = (compressor.output_db(end + side) for side in (-step, 0, step))
        assert above - below == pytest.approx(2 * slope * step, abs=1e-9)
        assert at == pytest.approx((above + below) / 2, abs=1e-9)
