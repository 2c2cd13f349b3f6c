"""Held against scipy.optimize.least_squares (its trust region, "trf") on problems with and without bounds."""

import numpy as np
import pytest
from scipy import optimize

from gear.audio.proving.explaining.fitting import least_squares

AT = np.linspace(-3, 3, 60)


def bell(x):
    """A height, a place and a width."""
    return x[0] * np.exp(-(((AT - x[1]) / x[2]) ** 2))


@pytest.mark.parametrize("seed", range(6))
def test_bell_in_noise_is_found_as_scipy_finds_it(seed):
    chance = np.random.default_rng(seed)
    read = bell([2.0, 0.7, 0.9]) + 0.05 * chance.standard_normal(AT.size)
    low, high, start = np.array([0, -3, 0.1]), np.array([9, 3, 5.0]), np.array([1, 0, 1.5])

    x, cost = least_squares(lambda x: bell(x) - read, start, low, high, rounds=40)

    wanted = optimize.least_squares(lambda x: bell(x) - read, start, bounds=(low, high))
    assert cost == pytest.approx(2 * wanted.cost, rel=1e-4)
    assert x == pytest.approx(wanted.x, abs=2e-3)


def test_what_would_leave_its_bounds_rests_on_them_while_the_others_settle():
    read = bell([2.0, 0.7, 0.9])
    low, high, start = np.array([0, -3, 0.1]), np.array([9, 0.4, 5.0]), np.array([1, 0, 1.5])

    x, cost = least_squares(lambda x: bell(x) - read, start, low, high, rounds=40)

    wanted = optimize.least_squares(lambda x: bell(x) - read, start, bounds=(low, high))
    assert x[1] == 0.4
    assert cost == pytest.approx(2 * wanted.cost, rel=1e-3)
    assert x == pytest.approx(wanted.x, abs=5e-3)


def test_what_nothing_depends_on_stays_where_it_is():
    x, cost = least_squares(
        lambda x: np.array([x[0] - 2, 0.0]), np.array([0.0, 1.0]), np.full(2, -9), np.full(2, 9)
    )

    assert x == pytest.approx([2, 1])
    assert cost == pytest.approx(0, abs=1e-9)
