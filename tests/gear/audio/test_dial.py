import math
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gear.audio.dial import Dial, Mark
from tests.gear.audio.panels import dials, dials_with_two_shares, random_dial

GAIN = Dial((Mark(-20, -150, "-20"), Mark(0, 0, "0"), Mark(20, 150, "max")))
FREQUENCY = Dial((Mark(20, -150), Mark(200, 0), Mark(20000, 150)), scale="log")
SELECTOR = Dial((Mark(0, -60, "off"), Mark(50, -30, "50"), Mark(80, 0, "80")), "stepped")
SWITCH = Dial((Mark(0, 0, "out"), Mark(1, 1, "in")), "switch")
FADER = Dial((Mark(-90, 0, "-∞"), Mark(0, 75, "0"), Mark(10, 100, "10")), "slider")
METER = Dial((), "reading")


def _at(dial, share):
    first, last = dial.marks[0].angle, dial.marks[-1].angle
    return min(last, first + share * (last - first))


@settings(max_examples=500)
@given(dials_with_two_shares())
def test_value_and_angle_are_inverses(case):
    dial, shares = case
    for share in shares:
        angle = _at(dial, share)

        value = dial.value_at(angle)

        assert dial.angle_of(value) == pytest.approx(angle, abs=1e-6)
        assert dial.value_at(dial.angle_of(value)) == pytest.approx(value, rel=1e-9, abs=1e-9)


@settings(max_examples=500)
@given(dials_with_two_shares())
def test_value_keeps_the_direction_of_the_marks(case):
    dial, shares = case
    before, after = (_at(dial, share) for share in shares)

    rise = dial.value_at(after) - dial.value_at(before)

    rising = dial.marks[-1].value > dial.marks[0].value
    assert rise >= 0 if rising else rise <= 0
    assert dial.angle_of(dial.value_at(before)) <= dial.angle_of(dial.value_at(after))


@settings(max_examples=500)
@given(dials_with_two_shares())
def test_marks_are_met_exactly_and_readings_stay_close(case):
    dial, shares = case
    for mark in dial.marks:
        assert dial.angle_of(mark.value) == mark.angle
        assert dial.value_at(mark.angle) == mark.value
        assert dial.read_at(mark.angle) == mark.value
    angle = _at(dial, shares[0])
    span = max(high.angle - low.angle for low, high in pairwise(dial.marks))
    if dial.scale == "log":
        assert dial.read_at(angle) == pytest.approx(dial.value_at(angle), rel=0.0051)
    else:
        assert abs(dial.angle_of(dial.read_at(angle)) - angle) <= span * 0.0051


def test_ten_thousand_random_dials_are_monotone_and_exactly_invertible():
    chance = Random(1884)
    for _ in range(10_000):
        dial = random_dial(chance)
        for mark in dial.marks:
            assert dial.angle_of(mark.value) == mark.angle
            assert dial.value_at(mark.angle) == mark.value
        if dial.kind == "stepped":
            continue
        angles = sorted(_at(dial, chance.random()) for _ in range(2))
        values = [dial.value_at(angle) for angle in angles]
        rising = dial.marks[-1].value > dial.marks[0].value
        assert values == sorted(values, reverse=not rising)
        for angle, value in zip(angles, values, strict=True):
            assert math.isclose(dial.angle_of(value), angle, abs_tol=1e-6)
            back = dial.value_at(dial.angle_of(value))
            assert math.isclose(back, value, rel_tol=1e-9, abs_tol=1e-9)


@pytest.mark.parametrize(
    ("dial", "value", "angle"),
    [
        (GAIN, 10, 75),
        (GAIN, -5, -37.5),
        (FREQUENCY, math.sqrt(20 * 200), -75),
        (FREQUENCY, 2000, 75),
        (Dial((Mark(10, -150), Mark(1, 150))), 5.5, 0),
        (Dial((Mark(100, -90), Mark(1, 90)), scale="log"), 10, 0),
        (FADER, -45, 37.5),
        (SELECTOR, 50, -30),
        (SWITCH, 1, 1),
    ],
)
def test_angle_of_interpolates_between_marks(dial, value, angle):
    assert dial.angle_of(value) == pytest.approx(angle)
    assert dial.value_at(angle) == pytest.approx(value)


@pytest.mark.parametrize(
    ("angle", "value"), [(-60, 0), (-46, 0), (-44, 50), (-16, 50), (-14, 80), (0, 80)]
)
def test_stepped_control_falls_into_the_nearest_position(angle, value):
    assert SELECTOR.value_at(angle) == value
    assert SELECTOR.read_at(angle) == value


def test_read_at_keeps_the_figures_a_pointer_can_tell():
    assert FREQUENCY.read_at(30) == 502
    assert GAIN.read_at(1) == 0.1
    assert Dial((Mark(0, -150), Mark(1000, 150))).read_at(-123) == 90


def test_read_at_never_leaves_the_marks():
    wide = Dial((Mark(1.0004, 0), Mark(9, 90)), scale="log")

    assert wide.read_at(0.001) == 1.0004


def test_read_at_tells_nearly_equal_marks_apart():
    """Three figures of a thousand and something are a thousand: the pointer went to the mark."""
    narrow = Dial((Mark(1000.4, 0), Mark(1004.4, 90)), scale="log")

    assert narrow.read_at(45) == 1002.4


@settings(max_examples=500)
@given(dials(scales=("log",)), st.integers(0, 12), st.floats(0, 1))
def test_position_that_is_read_is_where_the_pointer_then_stands(dial, halvings, share):
    """However nearly equal the marks: half a unit of the last figure is at most 0.75 % of the way
    between two of them (0.5 % of an interval of less than an octave, or of the value, in logarithms).
    """
    first = dial.marks[0].value
    marks = [Mark(first * (mark.value / first) ** 0.5**halvings, mark.angle) for mark in dial.marks]
    close = Dial(tuple(marks), dial.kind, "log")
    angle = _at(close, share)
    way = next(
        high.angle - low.angle for low, high in pairwise(marks) if low.angle <= angle <= high.angle
    )

    assert abs(close.angle_of(close.read_at(angle)) - angle) <= 0.0075 * way


def test_six_o_clock_is_met_at_the_far_end_of_the_travel():
    wide = Dial((Mark(0, -150), Mark(10, 180)))
    full = Dial((Mark(0, -180), Mark(10, 180)))

    assert wide.value_at(-180) == 10
    assert full.value_at(-180) == 0


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: GAIN.angle_of(30), "30 is outside this control, which runs from -20 to 20."),
        (lambda: GAIN.angle_of(math.nan), "nan is outside"),
        (lambda: GAIN.value_at(-165), "6:30 is outside this control, which runs from 7:00 to 5:"),
        (lambda: FADER.value_at(120), "120 % of travel is outside this control, which runs from 0"),
        (lambda: SWITCH.value_at(2), "position 2 is outside this control"),
        (lambda: SELECTOR.angle_of(60), "no position for 60. The positions are off, 50, 80."),
        (lambda: METER.angle_of(3), "This control has no engraved marks."),
        (lambda: METER.value_at(0), "This control has no engraved marks."),
        (lambda: METER.nearest_mark(3), "This control has no engraved marks."),
    ],
)
def test_dial_says_what_it_cannot_show(ask, sentence):
    with pytest.raises(ValueError, match=sentence):
        ask()


@pytest.mark.parametrize(
    ("dial", "value", "label_or_value"),
    [(SELECTOR, 60, 50), (SELECTOR, -5, 0), (FREQUENCY, 60, 20), (FREQUENCY, 64, 200)],
)
def test_nearest_mark_is_the_detent(dial, value, label_or_value):
    assert dial.nearest_mark(value).value == label_or_value


def test_nearest_mark_on_a_log_scale_takes_any_number():
    assert FREQUENCY.nearest_mark(0).value == 20


def test_positions_of_a_selector_need_not_rise():
    selector = Dial((Mark(8000, -30, "8k"), Mark(12000, 0, "12k"), Mark(0, 30, "off")), "stepped")

    assert selector.angle_of(0) == 30


def test_dial_takes_any_sequence_of_marks():
    assert Dial([Mark(0, 0), Mark(1, 1)]).marks == (Mark(0, 0), Mark(1, 1))


@pytest.mark.parametrize(
    ("marks", "kind", "scale", "sentence"),
    [
        ([(0, 0)], "continuous", "linear", "A continuous control needs at least two marks"),
        ([], "stepped", "linear", "A stepped control needs at least two marks"),
        ([(0, 0)], "reading", "linear", "A reading control needs at least two marks"),
        ([(0, 0), (1, 0)], "continuous", "linear", "The mark 1 does not come after 0. List"),
        ([(0, 9), (1, 2)], "switch", "linear", "The mark 1 does not come after 0. List"),
        ([(0, 0), (1, 181)], "stepped", "linear", "lie within -180 and 180 degrees"),
        ([(0, -1), (1, 50)], "slider", "linear", "A slider’s travel runs from 0 % to 100 %"),
        ([(0, 0), (1, 101)], "slider", "linear", "The mark 1 is at 101 %"),
        ([(0, 0), (2, 1), (1, 2)], "continuous", "linear", r"1 \(1\) after 2 \(2\) turns back"),
        ([(2, 0), (1, 1), (3, 2)], "slider", "linear", "must all rise or all fall"),
        ([(1, 0), (1, 1)], "reading", "linear", "must all rise or all fall"),
        ([(1, 0), (0, 1), (1, 2)], "stepped", "linear", "positions 1, 0, 1 have the same value"),
        ([(0, 0), (1, 1)], "continuous", "log", "The mark 0 has the value 0. A log scale needs"),
        ([(5, 0), (-5, 1)], "continuous", "log", "The mark -5 has the value -5. A log scale"),
        ([(0, 0), (1, 1)], "wheel", "linear", "“wheel” is not a kind of control"),
        ([(0, 0), (1, 1)], "slider", "square", "“square” is not a scale"),
    ],
)
def test_dial_refuses_marks_that_cannot_be(marks, kind, scale, sentence):
    with pytest.raises(ValueError, match=sentence):
        Dial(tuple(Mark(*mark) for mark in marks), kind, scale)


@pytest.mark.parametrize(
    ("mark", "sentence"),
    [
        ((math.inf, 0, "∞"), "The mark “∞” needs a number"),
        ((0, math.nan, "a"), "The mark “a” needs a number"),
        ((0, 0, "a,b"), "has a comma or semicolon"),
        ((0, 0, "a;b"), "has a comma or semicolon"),
        ((0, 0, " a"), "has extra spaces or line breaks"),
        ((0, 0, "a\nb"), "has extra spaces or line breaks"),
    ],
)
def test_mark_refuses_what_cannot_be_typed(mark, sentence):
    with pytest.raises(ValueError, match=sentence):
        Mark(*mark)
