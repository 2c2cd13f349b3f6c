"""Which point to measure next: the one that departs is found in as many measurements as halving takes."""

import math

import pytest

from gear.audio.proving.halving import Halving, halve


def test_the_whole_chain_is_measured_first_and_where_it_agrees_nothing_more_is():
    assert halve([None, None, None]) == Halving(None, None, 2)
    assert halve([None, None, True]) == Halving(2, None, None)


def test_the_middle_comes_next_until_the_departing_one_is_alone():
    assert halve([None, None, None, None, False]).to_measure == 2
    assert halve([None, None, True, None, False]).to_measure == 3
    found = halve([None, None, True, False, False])
    assert found == Halving(agrees=2, departs=3, to_measure=None)
    assert found.is_found


def test_where_the_first_departs_nothing_before_it_agrees():
    assert halve([False, None, False]) == Halving(None, 0, None)


def test_what_makes_up_for_an_earlier_departure_hides_nothing():
    """Unit 2 is 3 dB down, unit 3 turned up by as much: the whole agrees, unit 2 is the one."""
    assert halve([True, False, True]) == Halving(agrees=0, departs=1, to_measure=None)


def test_a_chain_that_cannot_be_measured_anywhere_asks_for_nothing():
    assert halve([]) == Halving(None, None, None)


@pytest.mark.parametrize("count", [1, 2, 3, 7, 16])
def test_every_culprit_is_found_in_as_many_measurements_as_halving_takes(count):
    for culprit in range(count):
        found: list[bool | None] = [None] * count
        measured = 0
        while (place := halve(found).to_measure) is not None:
            found[place] = place < culprit
            measured += 1
        assert halve(found).departs == culprit
        assert measured <= 1 + math.ceil(math.log2(count))
