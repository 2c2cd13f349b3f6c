"""What a test tone ought to read along a chain."""

import pytest

from gear.panels.models import Control, Kind, Meaning
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.levels.tone import ToneStage, takes_tone, tone_levels, usual_tone_dbu


def knob(key, meaning, unit="dB", **facts):
    marks = [
        {"value": -100, "angle": -150, "label": ""},
        {"value": 20_000, "angle": 150, "label": ""},
    ]
    usual = {"label": key.capitalize(), "kind": Kind.CONTINUOUS, "marks": marks}
    return Control(key=key, meaning=meaning, unit=unit, **usual | facts)


def stage(*controls, category="channel", printed=True, read=None, **settings):
    return ToneStage(category, printed, StageControls(controls, settings), read)


def gain(decibels, **more):
    return stage(knob("gain", Meaning.GAIN), gain=decibels, **more)


def dbu(*stages, send=-40, hertz=1000):
    return [level.dbu for level in tone_levels(stages, tone_hz=hertz, tone_dbu=send)]


def test_tone_goes_in_after_the_microphone_and_its_supply():
    categories = ("microphone", "supply", "preamplifier", "di_box")

    assert [takes_tone(category) for category in categories] == [False, False, True, True]


def test_gains_pads_and_faders_add_up():
    """-40 dBu --[+35, pad 10]-- -15 --[fader -5, make-up 2]-- -18"""
    first = stage(knob("gain", Meaning.GAIN), knob("pad", Meaning.PAD), gain=35, pad=-10)
    second = stage(knob("fader", Meaning.OUTPUT), knob("up", Meaning.MAKE_UP), fader=-5, up=2)

    assert dbu(first, second) == [-15, -18]


def test_compressor_takes_off_a_steady_tone_what_its_curve_says():
    """0 dBu into a threshold of -8 dBu at 4:1: three quarters of the 8 dB above it are taken off."""
    controls = (
        knob("threshold", Meaning.THRESHOLD, "dBu"),
        knob("ratio", Meaning.RATIO, ":1"),
        knob("meter", Meaning.GAIN_REDUCTION),
    )
    worked = stage(*controls, threshold=-8, ratio=4, meter=3.5)  # the meter read the music

    assert dbu(worked, send=0) == [-6]
    assert dbu(stage(*controls, ratio=4), send=0) == [None]


def test_equaliser_counts_at_the_tones_frequency():
    bell = (
        knob("level", Meaning.BAND_GAIN, band=1),
        knob("hertz", Meaning.BAND_FREQUENCY, "Hz", band=1),
        knob("q", Meaning.BAND_Q, "", band=1),
    )
    boosted = stage(*bell, level=6, hertz=1000, q=2)

    assert dbu(boosted, send=0) == [6]
    assert dbu(boosted, send=0, hertz=50)[0] == pytest.approx(0, abs=0.1)


def test_unknown_gain_is_unknown_until_a_reading_takes_it_up_again():
    unlogged = stage(knob("gain", Meaning.GAIN))

    assert dbu(unlogged, gain(10)) == [None, None]
    assert dbu(stage(knob("gain", Meaning.GAIN), read=-3), gain(10)) == [None, 7]
    [level, _] = tone_levels([unlogged, gain(10)], tone_hz=1000, tone_dbu=0)
    assert level.notes == ("Not logged: Gain.",)


def test_what_is_only_monitored_does_not_change_what_is_printed():
    """-40 --[+30]-- -10 --[+1 printed]-- -9, and beside it [+6 monitor]"""
    assert dbu(gain(30), gain(6, printed=False), gain(1)) == [-10, -4, -9]


def test_effect_is_not_foretold():
    assert dbu(gain(0), stage(category="effect", printed=False)) == [-40, None]


def test_usual_tone_leaves_room_in_every_stage():
    assert usual_tone_dbu([gain(40)], from_microphone=True) == -40
    assert usual_tone_dbu([gain(60)], from_microphone=True) == -60
    assert usual_tone_dbu([gain(4)], from_microphone=False) == 0
