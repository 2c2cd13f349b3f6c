import pytest

from gear.panels.travel import travel
from tests.sessions.setups.in_memory import control, knob, switch


def test_travel_on_a_slider_is_counted_in_per_cent():
    fader = control(
        "Fader",
        "output",
        kind="slider",
        unit="dB",
        marks=[{"value": -60, "angle": 0}, {"value": 0, "angle": 75}, {"value": 10, "angle": 100}],
    )

    moved = travel(fader, 10, was=0)

    assert (moved.difference, moved.words, moved.is_beyond) == ("+10 dB", "25 % of travel", True)


def test_travel_over_uneven_marks_is_counted_where_the_pointer_goes():
    """A reversed knob: 10 dBu stand at -150 degrees, -30 at 150."""
    threshold = knob("Threshold", low=10, high=-30, unit="dBu")

    assert travel(threshold, -10, was=10).words == "150°"


def test_travel_to_another_scale_is_measured_from_where_the_pointer_stood():
    """30 of 60 dB stood upright; 30 of 40 stand at 75 degrees."""
    assert travel(knob("Gain", high=40), 30, was=20, on=knob("Gain", high=60)).words == "125°"


@pytest.mark.parametrize("was", [-5, 70])
def test_value_off_the_scale_has_no_travel_and_counts_as_beyond(was):
    moved = travel(knob("Gain"), 30, was=was)

    assert (moved.amount, moved.words, moved.is_beyond) == (None, "", True)


def test_stepped_ratio_has_no_difference_in_its_unit():
    ratio = control(
        "Ratio",
        "ratio",
        kind="stepped",
        unit=":1",
        marks=[{"value": 2, "angle": -60}, {"value": 4, "angle": -58}],
    )

    moved = travel(ratio, 4, was=2)

    assert (moved.difference, moved.words, moved.is_beyond) == ("", "2°", True)


def test_switch_moves_by_positions():
    assert travel(switch("Path", words=("a", "b", "c")), 2, was=0).words == "2 positions"
