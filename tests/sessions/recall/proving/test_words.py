"""Figures in words. Responses are made by closed forms, named beside them."""

import math

import pytest

from gear.audio.proving.result import HERTZ, Compression, Harmonics, Timing
from sessions.recall.proving.plots import curve_plot, response_plot
from sessions.recall.proving.words import Words, response_text
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
    assert response_text(result_of(response_db=response)) == said


def test_response_that_depends_on_the_level_is_none():
    found = result_of(response_level_db=None)

    assert response_text(found) == "response depends on the level"
    assert Words(found, 0).in_short == "+2.0 dB at 1 kHz; response depends on the level"


def test_response_that_is_not_known_at_1_khz():
    assert response_text(result_of(response_db=(None,) * len(HERTZ))) == "response can’t be told"


def figures(**facts):
    """What stands beside the six of a sheet, too."""
    return [(each.name, each.value, each.detail) for each in Words(result_of(**facts), 0).figures]


def test_page_has_the_six_figures_of_a_sheet_and_four_more():
    assert [name for name, _, _ in figures(hum=((50, -95.0), (150, -91.04)))] == [
        "Gain at 1 kHz",
        "Response",
        "Compression",
        "Attack, release",
        "Harmonics",
        "Noise",
        "Latency",
        "Hum",
        "Signal to noise",
        "Clock",
    ]


def test_attack_and_release_are_told_at_each_frequency_that_has_them():
    found = figures(
        compression=Compression(-12.04, 3.96, 6.0),
        timings=(Timing(1000, 5.04, 182.0), Timing(5000, 4.0, None), Timing(9000, None, None)),
    )

    assert [(value, detail) for name, value, detail in found if name == "Attack, release"] == [
        ("5 ms, 182 ms", "at 1 kHz"),
        ("4 ms, can’t be told", "at 5 kHz"),
    ]


def test_compressor_is_told_in_short():
    found = result_of(compression=Compression(-12.04, 3.96, 6.0), response_db=bump(1000, 0))

    assert Words(found, 0).in_short.endswith("; compresses 3.96:1 above −12.0 dBu in")


def test_loudest_hum_and_clock():
    found = figures(hum=((50, -95.0), (150, -91.04)), clock_ppm=-1.234)

    assert ("Hum", "−91.0 dBu at 150 Hz", "its loudest part") in found
    assert ("Clock", "−1.23 ppm", "of the recording") in found


def test_why_there_is_no_response_is_said_beside_it():
    why = "The chain lies too far below its gain at 1 kHz."
    found = figures(response_db=(None,) * len(HERTZ), cannot_tell={"response_db": why})

    assert ("Response", "Response can’t be told", why) in found


def test_steps_of_the_staircase_with_their_harmonics():
    words = Words(
        result_of(
            curve=((-12.0, -10.0), (-10.0, -8.5)), harmonics=(Harmonics(-10, -60, -70, -59),)
        ),
        ceiling_dbu=0,
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
