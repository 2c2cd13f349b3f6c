import pytest

from gear.panels.models import Control
from gear.panels.reading import (
    ControlReading,
    marks_in_words,
    positions_in_words,
    read_control,
)

KNOB = [
    {"value": 0, "angle": -150, "label": "min"},
    {"value": 30, "angle": 0, "label": "30"},
    {"value": 60, "angle": 150, "label": ""},
]


def test_knob_reads_value_and_clock():
    control = Control(label="Gain", group="Input", kind="continuous", unit="dB", marks=KNOB)

    assert read_control(control, 36) == ControlReading(
        label="Gain",
        group="Input",
        value_text="36 dB",
        clock_text="1:00",
        logged=True,
        angle=30,
    )


def test_switch_reads_its_word():
    marks = [{"value": 0, "angle": 0, "label": "out"}, {"value": 1, "angle": 1, "label": "in"}]
    control = Control(label="Pad", kind="switch", marks=marks)

    reading = read_control(control, 1)

    assert reading.sentence == "Pad: in"
    assert reading.angle == 1


def test_slider_reads_its_travel():
    marks = [{"value": -60, "angle": 0, "label": ""}, {"value": 0, "angle": 75, "label": ""}]
    control = Control(label="Level", kind="slider", unit="dB", marks=marks)

    assert read_control(control, -20).sentence == "Level: −20 dB, at 50 %"


def test_reading_without_marks_is_not_off_the_scale():
    control = Control(label="Gain reduction", kind="reading", unit="dB", marks=[])

    assert read_control(control, 3.5).sentence == "Gain reduction: 3.5 dB"


def test_value_beyond_the_marks_says_so():
    control = Control(label="Gain", kind="continuous", unit="dB", marks=KNOB)

    reading = read_control(control, 61)

    assert reading.sentence == "Gain: 61 dB, off the scale"
    assert (reading.logged, reading.angle) == (True, None)


def test_not_logged_says_so():
    control = Control(label="Gain", kind="continuous", unit="dB", marks=KNOB)

    reading = read_control(control, None)

    assert reading.sentence == "Gain: not logged"
    assert not reading.logged


@pytest.mark.parametrize(
    ("value", "place"),
    [(30, "12:00"), (31.5, "12:15"), (35, "12:50"), (60, "5:00")],
)
def test_clock_is_in_words_on_the_quarter_hours(value, place):
    control = Control(label="Gain", kind="continuous", unit="dB", marks=KNOB)

    assert read_control(control, value).clock_text == place


@pytest.mark.parametrize(
    ("labels", "unit", "words"),
    [
        (["20", "45", "110", "250"], "Hz", "20, 45, 110, 250 Hz"),
        (["-12", "-6", "0"], "dB", "−12, −6, 0 dB"),
        ([str(n) for n in range(0, 205, 5)], "dB", "0, 5 … 200 dB (41 marks)"),
        (["0", "1", "2", "3", "4", "6"], "", "0, 1, 2, 3, 4, 6"),
        (["2", "4", "∞"], ":1", "2, 4, ∞:1"),
        (["off", "figure-of-eight"], "", "off, figure-of-eight"),
        (["", ""], "dB", ""),
    ],
)
def test_engraved_marks_in_words(labels, unit, words):
    marks = [{"value": n, "angle": n, "label": label} for n, label in enumerate(labels)]

    assert marks_in_words(Control(kind="continuous", unit=unit, marks=marks)) == words


@pytest.mark.parametrize(
    ("labels", "value", "words"),
    [
        (["off", "on"], 1, "of off / on"),
        (["off", "on"], None, "of off / on"),
        (["omnidirectional", "cardioid", "figure-of-eight"], 1, "2 of 3"),
        (["omnidirectional", "cardioid", "figure-of-eight"], None, "of 3 positions"),
    ],
)
def test_positions_of_a_switch_in_words(labels, value, words):
    marks = [{"value": n, "angle": n, "label": label} for n, label in enumerate(labels)]

    assert positions_in_words(Control(kind="switch", marks=marks), value) == words


def test_knob_has_no_positions_to_tell():
    marks = [{"value": 0, "angle": -150, "label": "0"}, {"value": 9, "angle": 150, "label": "9"}]

    assert positions_in_words(Control(kind="stepped", marks=marks), 0) == ""
