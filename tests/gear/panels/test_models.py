import pytest

from gear.audio.dial import Dial, Mark
from gear.panels.models import Control


def control(kind="continuous", unit="dB", marks=(), **facts):
    return Control(
        label="Gain",
        kind=kind,
        unit=unit,
        marks=[{"value": value, "angle": angle, "label": label} for value, angle, label in marks],
        **facts,
    )


def test_dial_takes_marks_kind_and_scale():
    marks = [(20, -150, "20"), (20_000, 150, "20k")]

    dial = control(marks=marks, scale="log", unit="Hz").dial()

    assert dial == Dial((Mark(20, -150, "20"), Mark(20_000, 150, "20k")), "continuous", "log")


def test_dial_of_marks_that_make_none_is_refused():
    with pytest.raises(ValueError, match="at least two marks"):
        control(marks=[(0, 0, "0")]).dial()


@pytest.mark.parametrize(
    ("kind", "unit", "marks", "text"),
    [
        ("continuous", "dB", [(0, -150, ""), (60, 150, "")], "0 dB to 60 dB"),
        ("continuous", "Hz", [(20, -150, ""), (20_000, 150, "")], "20 Hz to 20 kHz"),
        ("switch", "", [(0, 0, "out"), (1, 1, "in")], "out, in"),
        ("reading", "dB", [], "dB"),
    ],
)
def test_range_is_said_as_it_is_engraved(kind, unit, marks, text):
    assert control(kind, unit, marks).range_text() == text


def test_marks_are_said_as_they_are_typed():
    marks = [(0, -150, "0"), (60, 150, "max")]

    assert control(marks=marks).marks_text() == "0 @ 7:00, 60 @ 5:00 = max"
