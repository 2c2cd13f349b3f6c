"""What the arithmetic is told of a unit's panel, by what its controls mean."""

import math

import pytest

from gear.audio.proving.explaining.explain import explain
from gear.audio.proving.explaining.model import Dynamics, Filter, Gain
from gear.panels.models import Meaning
from sessions.recall.proving.knobs import UnitSet, model_of, place_of
from tests.factories.proving import result_of
from tests.sessions.setups.in_memory import control, knob, stage, switch, unit


def parts(*controls, **settings):
    settings = {name.replace("_", " "): value for name, value in settings.items()}
    standing = stage(unit(*controls), settings, position=2)
    return list(model_of([UnitSet.at(standing)]).parts)


def stepped(label, meaning, *values, unit="dB", **facts):
    marks = [{"value": value, "angle": 30 * n} for n, value in enumerate(values)]
    return control(label, meaning, kind="stepped", unit=unit, marks=marks, **facts)


def test_gains_count_in_the_order_of_the_panel_and_a_pad_takes_off():
    pad, gain, fader = parts(
        switch("Pad", Meaning.PAD, words=("out", "in"), unit="dB"),
        stepped("Gain", Meaning.GAIN, 20, 26, 32),
        knob("Fader", Meaning.OUTPUT, low=-60, high=10),
        **{"pad": 1, "gain": 26, "fader": -3},
    )

    assert [part.level_db.key for part in (pad, gain, fader)] == ["2:pad", "2:gain", "2:fader"]
    assert pad.level_db.figure(1) == -1
    assert (gain.level_db.is_stepped, fader.level_db.is_stepped) == (True, False)
    assert place_of("2:pad") == (2, "pad")


def test_band_with_its_frequency_q_and_switch():
    [band] = parts(
        knob("Level", Meaning.BAND_GAIN, low=-15, high=15, band=1, group="Equaliser"),
        knob("Place", Meaning.BAND_FREQUENCY, low=0.2, high=8, unit="kHz", band=1),
        knob("Q", Meaning.BAND_Q, low=0.5, high=5, unit="", band=1),
        switch("Equaliser in", Meaning.BYPASS, group="Equaliser"),
        **{"level": 4, "place": 1.2, "q": 2, "equaliser in": 1},
    )

    assert isinstance(band, Filter)
    assert band.shape == "peak"
    assert band.frequency_hz.figure(1.2) == 1200
    assert (band.gain_db.value, band.q.value) == (4, 2)
    assert [band.switch.figure(value) for value in (0, 1)] == [0, 1]


def test_band_whose_frequency_is_not_logged_is_left_out():
    assert not parts(
        knob("Level", Meaning.BAND_GAIN, low=-15, high=15, band=1),
        knob("Place", Meaning.BAND_FREQUENCY, low=200, high=8000, unit="Hz", band=1),
        level=4,
    )


def test_switched_cut_that_is_out_lies_below_what_is_heard():
    [cut] = parts(
        control(
            "Low cut",
            Meaning.FILTER_FREQUENCY,
            kind="switch",
            unit="Hz",
            marks=[{"value": 0, "angle": 0, "label": "out"}, {"value": 80, "angle": 1}],
        ),
        low_cut=0,
    )

    assert (cut.shape, cut.order) == ("low cut", 2)
    assert cut.frequency_hz.figure(0) < 1
    assert cut.frequency_hz.figure(80) == 80


def test_compressor_with_its_make_up_behind_it():
    dynamics, make_up = parts(
        knob("Threshold", Meaning.THRESHOLD, low=-30, high=10, unit="dBu"),
        stepped("Ratio", Meaning.RATIO, 2, 4, 20, unit=":1"),
        knob("Attack", Meaning.ATTACK, low=1, high=100, unit="ms"),
        knob("Release", Meaning.RELEASE, low=0.05, high=2, unit="s"),
        knob("Make-up", Meaning.MAKE_UP, high=20),
        switch("Compressor", Meaning.BYPASS),
        **{"threshold": -10, "ratio": 4, "attack": 10, "release": 0.2, "make-up": 6},
        compressor=1,
    )

    assert isinstance(dynamics, Dynamics)
    assert isinstance(make_up, Gain)
    assert dynamics.threshold.value == -10
    assert dynamics.release.figure(0.2) == pytest.approx(200)
    assert make_up.switch.key == dynamics.switch.key == "2:compressor"


def test_infinity_is_a_limiter():
    ratio = stepped("Ratio", Meaning.RATIO, 4, 20, unit=":1")
    ratio.marks[1]["label"] = "∞"
    threshold = knob("Threshold", Meaning.THRESHOLD, low=-30, high=10)

    [limiter] = parts(threshold, ratio, threshold=-10, ratio=20)

    assert limiter.ratio.figure(20) > 100
    assert math.isclose(limiter.ratio.figure(4), 4)


def test_phantom_power_and_polarity_are_nothing_to_turn():
    assert not parts(
        switch("Phantom", Meaning.PHANTOM),
        switch("Polarity", Meaning.POLARITY),
        phantom=1,
        polarity=0,
    )


def test_what_is_set_now_is_where_a_turn_begins():
    gain = knob("Gain", Meaning.GAIN)
    [part] = model_of([UnitSet(1, [gain], {"gain": 30}, {"gain": 33})]).parts

    assert (part.level_db.value, part.level_db.stands_at) == (30, 33)


def test_chain_without_logged_controls_has_no_proposal():
    then = result_of()
    now = result_of(curve=tuple((level, out - 3) for level, out in then.curve))

    assert explain(model_of([]), then, now, 0.5).why_none == "no controls"
