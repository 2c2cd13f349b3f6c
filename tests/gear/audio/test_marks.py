import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gear.audio.dial import Dial, Mark
from gear.audio.marks import marks_from_text, marks_to_text
from tests.gear.audio.panels import angles, labels


@pytest.mark.parametrize(
    ("text", "kind", "unit", "marks"),
    [
        (
            "-20 @ 7:00, 0 @ 12:00, +20 @ 5:00 = max",
            "continuous",
            "dB",
            [(-20, -150, "-20"), (0, 0, "0"), (20, 150, "max")],
        ),
        (
            "20 Hz @ 7 o'clock; 2k2@half past 1\n\n20k @ 17:00,",
            "continuous",
            "Hz",
            [(20, -150, "20 Hz"), (2200, 45, "2k2"), (20000, 150, "20k")],
        ),
        ("0 @ 0% = -∞, 10 @ 100 %", "slider", "dB", [(0, 0, "-∞"), (10, 100, "10")]),
        ("0 = out, 1 = in", "switch", "", [(0, 0, "out"), (1, 1, "in")]),
        ("0, 1", "switch", "", [(0, 0, "0"), (1, 1, "1")]),
        ("1.5:1 @ 7:00, 4:1 @ 5:00 =", "stepped", ":1", [(1.5, -150, "1.5:1"), (4, 150, "")]),
        ("1 @ -33.7° = a=b, 2 @ 10 deg", "stepped", "", [(1, -33.7, "a=b"), (2, 10, "2")]),
        (
            "0 @ 6:00, 1 @ 12:00, 2 @ 6:00",
            "stepped",
            "",
            [(0, -180, "0"), (1, 0, "1"), (2, 180, "2")],
        ),
        ("", "reading", "", []),
    ],
)
def test_marks_are_read_as_typed(text, kind, unit, marks):
    read = marks_from_text(text, kind, unit)

    assert read == tuple(Mark(*mark) for mark in marks)
    assert marks_from_text(marks_to_text(read, kind, unit), kind, unit) == read


def test_marks_to_text_is_what_one_would_type():
    marks = (
        Mark(-20, -150, "-20"),
        Mark(0, 1.25, ""),
        Mark(2200, 45, "2k2"),
        Mark(1e4, 150, "max"),
    )

    assert marks_to_text(marks) == "-20 @ 7:00, 0 @ 1.25° =, 2k2 @ 1:30, 10000 @ 5:00 = max"
    assert marks_to_text((Mark(0, 0, "out"), Mark(1, 1, "in")), "switch") == "0 = out, 1 = in"
    assert marks_to_text((Mark(-60, 0, "-60"), Mark(10, 99.5, "+10")), "slider") == (
        "-60 @ 0%, +10 @ 99.5%"
    )


@settings(max_examples=500)
@given(
    st.data(),
    st.sampled_from(["continuous", "stepped", "slider", "switch", "reading"]),
    st.sampled_from(["", "dB", "Hz", "kHz", "ms", ":1", "%"]),
)
def test_marks_survive_being_written_and_read(data, kind, unit):
    count = data.draw(st.integers(min_value=2, max_value=7))
    places = range(count) if kind == "switch" else data.draw(angles(count, kind))
    value = st.floats(min_value=-1e6, max_value=1e6)
    marks = tuple(Mark(data.draw(value), float(a), data.draw(labels)) for a in places)

    assert marks_from_text(marks_to_text(marks, kind, unit), kind, unit) == marks


@given(st.floats(min_value=-180, max_value=180))
def test_any_angle_survives_being_written_and_read(angle):
    (mark,) = marks_from_text(marks_to_text([Mark(1, angle)]))

    assert mark.angle == angle


@pytest.mark.parametrize(
    ("text", "kind", "sentence"),
    [
        ("-20 @ 7:00, loud @ 12:00", "continuous", "“loud @ 12:00”: “loud” is not a value in dB."),
        ("-20 @ 7:00, 5 @ 25:00", "continuous", "“5 @ 25:00”: 25:00 is not a clock position."),
        ("5", "continuous", "“5”: After @ write the mark’s clock position."),
        ("5 @ 40%", "stepped", "“5 @ 40%”: After @ write the mark’s clock position."),
        ("5 @ 1:00", "slider", "“5 @ 1:00”: After @ write how far along the travel"),
        ("5 @ 1:00", "switch", "“5 @ 1:00”: A switch’s positions have no place"),
        ("= in", "switch", "“= in”: “” is not a value in dB."),
    ],
)
def test_bad_marks_are_named_with_an_example(text, kind, sentence):
    with pytest.raises(ValueError, match=sentence) as refusal:
        marks_from_text(text, kind, "dB")

    example = str(refusal.value).partition("Write marks like this: ")[2].removesuffix(".")
    assert len(Dial(marks_from_text(example, kind, ""), kind).marks) >= 2


@pytest.mark.parametrize("kind", ["continuous", "slider"])
def test_decimal_comma_in_a_list_of_marks_is_named(kind):
    with pytest.raises(ValueError, match="A comma parts marks, so write decimals with a point"):
        marks_from_text("1,5 @ 50%, 3 @ 100%", kind)
