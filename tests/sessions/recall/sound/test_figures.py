"""What a sheet says of a measurement, in the trade's units."""

from dataclasses import replace

from gear.audio.proving.result import HERTZ, Compression, Timing
from sessions.recall.sound.figures import figures_of, plot_of
from sessions.recall.sound.told import CHANGED, NOT_COVERED, sound_of
from tests.sessions.recall.sound.measurements import at, found, full, of_tones


def said(measured) -> dict[str, tuple[str, str]]:
    return {figure.name: (figure.value, figure.detail) for figure in figures_of(measured)}


def test_six_figures_are_told_at_the_injection_point_and_at_the_converter():
    assert said(full()) == {
        "Gain at 1 kHz": ("+15.8 dB", "polarity reversed"),  # 20 dB of pad less 4.25
        "Compression": ("2.5:1 above −34.0 dBu in", "hard knee"),  # 0 dBFS is -2 dBu there
        "Attack, release": ("20 ms, 251 ms", "at 1 kHz"),
        "Harmonics": ("2nd −62.1 dB, 3rd −94.0 dB", "at −22.0 dBu in"),  # 10 dB below -12 dBu
        "Noise": ("−66.2 dBu", "A-weighted −68.9 dBu"),  # 0 dBFS is +18 dBu at the converter
        "Latency": ("64.0 samples at 48 kHz", "converters included"),
    }


def test_what_cannot_be_told_is_said_in_place_of_a_figure():
    result = found(
        gain_db=None,
        polarity=None,
        compression=None,
        timings=(),
        harmonics=(),
        cannot_tell={
            "compression": "The curve bends by less than 3 dB.",
            "polarity": "Neither way up fits.",
        },
    )

    told = said(full(result))

    assert told["Gain at 1 kHz"] == (
        "can’t be told",
        "polarity can’t be told. Neither way up fits.",
    )
    assert told["Compression"] == ("can’t be told", "The curve bends by less than 3 dB.")
    assert told["Attack, release"] == ("can’t be told", "")
    assert told["Harmonics"] == ("can’t be told", "")


def test_soft_knee_is_told_by_its_width_and_half_a_timing_for_itself():
    result = found(compression=Compression(-30.0, 4.0, 6.0), timings=(Timing(1000.0, None, 90.0),))

    told = said(full(result, cable_taken_off=True))

    assert told["Compression"] == ("4:1 above −32.0 dBu in", "knee 6.0 dB")
    assert told["Attack, release"] == ("can’t be told, 90 ms", "at 1 kHz")
    assert told["Latency"][1] == "cable taken off"


def test_what_limits_is_told_without_a_ratio_and_a_long_way_in_groups():
    told = said(full(found(compression=Compression(-30.0, 40.0, 0.0), latency_samples=-1234.56)))

    assert told["Compression"][0] == "∞:1 above −32.0 dBu in"
    assert told["Latency"][0] == "−1,234.6 samples at 48 kHz"


def test_tones_are_told_by_what_went_in_and_came_out():
    assert said(of_tones()) == {
        "At 60 Hz": ("+34.8 dB", "−46.0 dBu in, −11.2 dBu out"),
        "At 1 kHz": ("+36.1 dB", "−46.0 dBu in, −9.9 dBu out"),
        "At 10 kHz": ("nothing read", "−46.0 dBu in"),
    }


def test_response_is_drawn_against_1_khz_whatever_the_gain():
    plot = plot_of(full(), "Bass → Bass DI")

    drawn = dict(plot.points)
    assert abs(drawn[HERTZ[at(1000)]]) < 1e-9
    assert drawn[HERTZ[at(20)]] > 2.5  # the low shelf's 3 dB
    assert drawn[HERTZ[-1]] is None
    assert plot.title.startswith(
        "Measured response of Bass → Bass DI against 1 kHz: +1.3 dB at 100 Hz; "
    )


def test_no_response_is_drawn_that_is_not_known_at_1_khz():
    gains = list(found().response_db)
    gains[at(1000)] = None

    assert plot_of(full(found(response_db=tuple(gains))), "Bass") is None
    assert plot_of(of_tones(), "Bass") is None


def test_every_sheet_says_what_is_not_covered_and_what_speaks_against_it():
    depending = full(found(response_level_db=None), changed_since=True)

    assert sound_of(full(), "Bass").notes == ("Hum stands out of the noise.", NOT_COVERED)
    assert sound_of(depending, "Bass").notes == (
        "The response depends on the level.",
        "Hum stands out of the noise.",
        CHANGED,
        NOT_COVERED,
    )
    assert sound_of(of_tones(), "Bass").notes == ("Too soft to be told.", NOT_COVERED)


def test_how_it_was_fed_is_told_with_the_pad_that_was_there():
    without_a_pad = replace(full(), pad_db=0.0)

    assert sound_of(full(), "Bass").how == (
        "test file at 48 kHz, up to −12.0 dBu at the injection point, pad of 20 dB"
    )
    assert sound_of(without_a_pad, "Bass").how.endswith("at the injection point")
