"""Controls that act off, and where they are turned."""

import math

import pytest

from gear.audio.proving.explaining.coordinates import coordinate_of, value_near
from gear.audio.proving.explaining.turning import answers_of, turn_of
from tests.gear.audio.proving.explaining.chains import knob

GAIN = knob("gain", "band_gain", 3, -12, -6, 0, 6, 12)
HERTZ = knob("hertz", "band_frequency", 2000, 500, 1000, 2000, 4000, unit="Hz")
STEPS = knob("steps", "gain", 24, 18, 24, 30, 36, kind="stepped")


@pytest.mark.parametrize(
    ("it", "off", "goes"),
    [
        (GAIN, 2, (3, 1)),
        (HERTZ, math.log(2), (2000, 1000)),
        (STEPS, 6, (24, 18)),
        (STEPS, -6, (24, 30)),
    ],
)
def test_turned_back_from_where_the_record_has_it_by_as_much_as_it_acts_off(it, off, goes):
    turn = turn_of(it, off=off)

    assert (turn.from_value, turn.to_value) == pytest.approx(goes, rel=1e-3)
    assert not turn.stands_elsewhere


@pytest.mark.parametrize(
    ("it", "off", "goes"), [(GAIN, -11, (-8, 3)), (STEPS, 12, (36, 24)), (HERTZ, -1.3, (545, 2000))]
)
def test_where_the_scale_ends_it_must_stand_elsewhere(it, off, goes):
    turn = turn_of(it, off=off)

    assert turn.stands_elsewhere
    assert (turn.from_value, turn.to_value) == pytest.approx(goes, rel=0.01)


def test_control_that_answers_half_is_turned_twice_as_far():
    turn = turn_of(GAIN, off=2, answers=answers_of(-2, 4, 3))

    assert (turn.from_value, turn.to_value) == pytest.approx((3, -1))


def test_law_is_learned_within_reason():
    assert answers_of(-2, 4, 2) == 1
    assert answers_of(-2, 4, 4.5) == 0.4
    assert answers_of(-1, 4, -4) == 2.5
    assert answers_of(0.001, 4, 2) == 1


@pytest.mark.parametrize("it", [GAIN, HERTZ, STEPS], ids=lambda it: it.key)
def test_values_come_back_from_their_coordinates(it):
    assert value_near(it, coordinate_of(it, it.value)) == pytest.approx(it.value)
