import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.clock import angle_of_clock, clock_of, clock_text, read_clock


@pytest.mark.parametrize(
    ("hour", "minute", "angle"),
    [
        (7, 0, -150),
        (9, 0, -90),
        (12, 0, 0),
        (0, 0, 0),
        (1, 0, 30),
        (13, 30, 45),
        (5, 0, 150),
        (17, 0, 150),
        (5, 59, 179.5),
        (6, 0, -180),
        (18, 30, -165),
    ],
)
def test_angle_of_clock_counts_from_straight_up(hour, minute, angle):
    assert angle_of_clock(hour, minute) == angle


@pytest.mark.parametrize(("hour", "minute"), [(24, 0), (-1, 0), (1, 60), (1, -1)])
def test_angle_of_clock_refuses_what_is_no_time(hour, minute):
    with pytest.raises(ValueError, match="is not a clock position"):
        angle_of_clock(hour, minute)


@pytest.mark.parametrize(
    ("angle", "figures"),
    [
        (-150, "7:00"),
        (0, "12:00"),
        (2.5, "12:05"),
        (1.2, "12:00"),
        (1.3, "12:05"),
        (37.5, "1:15"),
        (45, "1:30"),
        (52.5, "1:45"),
        (55, "1:50"),
        (-1.3, "11:55"),
        (29, "1:00"),
        (27.5, "12:55"),
        (-180, "6:00"),
        (180, "6:00"),
    ],
)
def test_clock_is_read_to_five_minutes(angle, figures):
    assert clock_text(angle) == figures


@given(st.integers(min_value=1, max_value=12), st.integers(min_value=0, max_value=11))
def test_every_clock_position_reads_back_from_its_angle(hour, fives):
    assert clock_of(angle_of_clock(hour, 5 * fives)) == (hour, 5 * fives)


@given(st.integers(min_value=-72, max_value=71).map(lambda step: step * 2.5))
def test_figures_read_back_as_the_same_angle(angle):
    assert read_clock(clock_text(angle)) == angle


@pytest.mark.parametrize(
    ("text", "angle"),
    [
        ("1 o'clock", 30),
        ("1 o’clock", 30),
        ("1 OCLOCK", 30),
        ("half past 1 o'clock", 45),
        ("Quarter  to 2", 52.5),
        ("0 to 5", 150),
        ("10 past 13", 35),
        ("1:30 o'clock", 45),
        ("1:07", 33.5),
    ],
)
def test_read_clock_understands_what_is_said(text, angle):
    assert read_clock(text) == angle


@pytest.mark.parametrize("text", ["", "1", "4:1", "1:5", "half", "2k2", "past 1", "-20"])
def test_read_clock_leaves_other_text_alone(text):
    assert read_clock(text) is None


@pytest.mark.parametrize("text", ["25:00", "1:75", "30 o'clock", "70 past 1", "99 to 2"])
def test_read_clock_refuses_impossible_times(text):
    with pytest.raises(ValueError, match="is not a clock position"):
        read_clock(text)
