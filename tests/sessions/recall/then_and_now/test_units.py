"""Unit by unit: measured up to a jack, so that the one that departs is found by halving."""

import pytest
from django.urls import reverse

from gear.audio.curves import Band
from tests.sessions.recall.then_and_now.measured import (
    GAIN_DB,
    PEAK,
    measured_now,
    rebuilt,
    through,
)

pytestmark = pytest.mark.django_db
DULL = Band("high shelf", 6000.0, -4.0)


@pytest.fixture
def rebuild(engineer):
    """Measured while it was recorded up to the preamplifier, the equaliser, and as a whole."""
    return rebuilt(engineer, points=(2, 3, None))


def page_of(browser, rebuild, query="", status=200) -> str:
    page = browser.get(reverse("then_and_now:chain", args=[rebuild.pk, 1]) + query)
    assert page.status_code == status
    return " ".join(page.content.decode().split())


def test_points_are_the_jacks_of_its_units_and_the_converter(browser, rebuild):
    page = page_of(browser, rebuild)
    assert "Hobweir Stile 1 (P-01), out at Bay 1 A" in page
    assert "Hobweir Sluice (EQ-01), out at Bay 1 A" in page
    assert "the converter, with the whole chain" in page
    assert "M-01" not in page[page.index("Unit by unit") :]  # the file goes in behind it


def test_the_point_that_halves_what_is_left_is_measured_next(browser, rebuild):
    measured_now(rebuild, through(GAIN_DB, (PEAK, DULL)))
    assert "Measure next up to <strong>Hobweir Sluice (EQ-01)" in page_of(browser, rebuild)


def test_the_unit_that_departs_is_named_once_the_one_before_it_agrees(browser, rebuild):
    measured_now(rebuild, through(GAIN_DB, (PEAK, DULL)), ago=3)
    measured_now(rebuild, through(GAIN_DB, (PEAK, DULL)), up_to=3, ago=2)
    assert "Measure next up to <strong>Hobweir Stile 1 (P-01)" in page_of(browser, rebuild)
    measured_now(rebuild, through(GAIN_DB, ()), up_to=2, ago=1)
    assert "It departs in unit 3, Hobweir Sluice (EQ-01)." in page_of(browser, rebuild)


def test_a_chain_that_agrees_as_a_whole_asks_for_no_search(browser, rebuild):
    measured_now(rebuild)
    assert "The chain agrees: there is nothing to look for." in page_of(browser, rebuild)


def test_one_point_has_its_own_comparison(browser, rebuild):
    measured_now(rebuild, through(GAIN_DB - 2, ()), up_to=2)
    page = page_of(browser, rebuild, "?up_to=2")
    assert "2 dB low." in page
    assert "Measured up to Hobweir Stile 1 (P-01), out at Bay 1" in page


@pytest.mark.parametrize("asked", ["?up_to=1", "?up_to=9", "?up_to=x", "?up_to=99999999"])
def test_what_cannot_be_measured_up_to_is_not_found(browser, rebuild, asked):
    page_of(browser, rebuild, asked, status=404)


def test_units_that_nothing_was_measured_between_then_are_not_told_apart(client_of, engineer):
    """Jacks of a bay stand between them, so it is not that nothing can be measured there."""
    rebuild = rebuilt(engineer, points=(None,))
    measured_now(rebuild, through(GAIN_DB, (PEAK, DULL)))

    page = page_of(client_of(engineer), rebuild)

    assert "Which unit departs can’t be told: while it was recorded, nothing was measured" in page
    assert "It departs in" not in page
