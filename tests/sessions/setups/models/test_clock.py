"""Clock and click of a setup: in words, and kept with what was recorded."""

import pytest

from sessions.setups.chains.actions import fix_revision
from sessions.setups.models import Setup
from tests.factories import SetupFactory
from tests.sessions.setups.building import loaded, microphone, revision_of


@pytest.mark.parametrize(
    ("facts", "clock", "click"),
    [
        ({}, "", ""),
        (
            {"clock_master": "A-01", "rate_seen_hz": 48_000},
            "A-01, 48 kHz at the converter",
            "",
        ),
        ({"click": "Side stick, low", "count_in_bars": 2}, "", "Side stick, low, count-in 2 bars"),
        ({"count_in_bars": 1}, "", "count-in 1 bar"),
    ],
)
def test_clock_and_click_in_words(facts, clock, click):
    setup = Setup(**facts)

    assert (setup.clock_in_words, setup.click_in_words) == (clock, click)


@pytest.mark.django_db
def test_fixed_revision_keeps_the_clock_of_its_day():
    setup = SetupFactory(clock_master="A-01", count_in_bars=2)
    revision = revision_of(microphone(), setup=setup)
    fix_revision(revision)
    Setup.objects.update(clock_master="The house clock", count_in_bars=1)

    then = loaded(revision).recording_format

    assert (then.clock, then.click) == ("A-01", "count-in 2 bars")
