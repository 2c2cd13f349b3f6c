import pytest

from gear.panels.models import Control
from gear.panels.reading import ControlReading, read_control

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
