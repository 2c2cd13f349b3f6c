"""Figures in words. Responses are made by closed forms, named beside them."""

import math

import pytest

from gear.audio.proving.result import HERTZ, Compression, Harmonics, Timing
from sessions.recall.proving.plots import curve_plot, response_plot
from sessions.recall.proving.words import Words
from tests.factories import result_of


def high_pass(corner):
    """Butterworth, second order: 3.01 dB down at the corner."""
    return tuple(-10 * math.log10(1 + (corner / hertz) ** 4) for hertz in HERTZ)


def low_pass(corner):
    return tuple(-10 * math.log10(1 + (hertz / corner) ** 4) for hertz in HERTZ)


def bump(at, db):
    """A bell over the logarithm of frequency, an octave wide."""
    return tuple(db * math.exp(-(math.log2(hertz / at) ** 2)) for hertz in HERTZ)


def together(*shapes):
    return tuple(map(sum, zip(*shapes, strict=True)))


@pytest.mark.parametrize(
    ("response", "said"),
    [
        (bump(1000, 0), "flat within ±0.0 dB from 20 Hz to 20 kHz"),
        (bump(4000, 0.4), "flat within ±0.4 dB from 20 Hz to 20 kHz"),
        (high_pass(80), "−3 dB at 80 Hz"),
        (together(high_pass(80), low_pass(8000)), "−3 dB at 80 Hz and 8 kHz"),
        (bump(5000, 6), "+6.0 dB at 5 kHz"),
        (together(high_pass(40), bump(5000, 6)), "−3 dB at 40 Hz, +6.0 dB at 5 kHz"),
        (bump(5000, -2), "−2.0 dB at 5 kHz"),
    ],
)
def test_response_in_words(response, said):
    assert Words(result_of(response_db=response)).response == said


def test_response_that_depends_on_the_level_is_none():
    words = Words(result_of(response_level_db=None))

    assert words.response == "response depends on the level"
    assert words.in_short == "+2.00 dB at 1 kHz; response depends on the level"


def test_response_that_is_not_known_at_1_khz():
    assert Words(result_of(response_db=(None,) * len(HERTZ))).response == "response not known"


def figures(**facts):
    return {each.name: each for each in Words(result_of(**facts)).figures}


def test_compressor_in_figures():
    found = figures(
        compression=Compression(-12.04, 3.96, 6.0),
        timings=(Timing(1000, 5.04, 182.0), Timing(5000, None, None)),
    )

    assert found["Threshold and ratio"].value == "−12.0 dBu at 4.0:1"
    assert found["Attack and release at 1 kHz"].value == "5 ms and 182 ms"
    assert "Attack and release at 5 kHz" not in found


def test_limiter_has_no_ratio_in_figures():
    assert "∞:1" in figures(compression=Compression(0, 40, 0))["Threshold and ratio"].value


def test_noise_hum_harmonics_latency_and_polarity():
    found = figures(
        polarity=-1,
        hum=((50, -95.0), (150, -91.04)),
        harmonics=(Harmonics(-30, -70, None, -70), Harmonics(-10, -52.3, -60, -51)),
        latency_samples=-1.25,
    )

    assert found["Polarity"].value == "reversed"
    assert found["Noise"].value == "−92.0 dBu A-weighted"
    assert found["Hum"].value == "−91.0 dBu at 150 Hz"
    assert found["Harmonics at −10.0 dBu"].value == "second −52.3 dB, third −60.0 dB"
    assert found["Latency"].value == "−1.2 samples (−0.03 ms)"


def test_what_cannot_be_told_is_said_with_its_reason():
    assert Words(result_of()).cannot_tell == [
        ("Threshold and ratio", "The curve bends by less than 3 dB.")
    ]


def test_steps_of_the_staircase_with_their_harmonics():
    words = Words(
        result_of(curve=((-12.0, -10.0), (-10.0, -8.5)), harmonics=(Harmonics(-10, -60, -70, -59),))
    )

    assert [(into, out, each and each.second_db) for into, out, each in words.by_level] == [
        ("−12.0", "−10.00", None),
        ("−10.0", "−8.50", -60),
    ]


@pytest.mark.parametrize(("db", "reach"), [(2, 3), (5, 6), (11, 12), (25, 30)])
def test_plot_reaches_as_far_as_the_response(db, reach):
    plot = response_plot(result_of(response_db=bump(5000, db)))

    assert (plot.up.low, plot.up.high) == (-reach, reach)
    assert plot.compared[0][1] == 0


def test_plot_has_what_it_was_dashed():
    then, now = result_of(response_db=bump(5000, 4)), result_of(response_db=bump(5000, 2))

    plot = response_plot(now, then=then)

    assert max(gain for _, gain in plot.compared) == pytest.approx(4, abs=0.02)
    assert max(gain for _, gain in plot.points) == pytest.approx(2, abs=0.02)


def test_curve_is_drawn_beside_the_gain_of_soft_levels():
    """Above -20 dBu 4:1: what goes in at -12 comes out at -20 + 2 + 8/4 = -16, and not at -10."""
    curve = tuple((i, i + 2 if i <= -20 else -18 + (i + 20) / 4) for i in range(-40, -11, 2))

    plot = curve_plot(result_of(curve=curve))

    assert plot.points[-1] == (-12, -16)
    assert plot.compared[-1] == (-12, -10)
    assert (plot.across.low, plot.across.high) == (-40, -10)


def test_nothing_is_drawn_of_what_is_not_known():
    assert response_plot(result_of(response_db=(None,) * len(HERTZ))) is None
    assert curve_plot(result_of(curve=())) is None
