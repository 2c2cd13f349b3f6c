"""Then and now on its pages: what a mix engineer reads of a chain that was set up again."""

import pytest
from django.urls import reverse

from gear.audio.curves import Band
from sessions.recall.rebuilds.actions import tick_control
from tests.sessions.recall.rebuilds.vocal import step_at
from tests.sessions.recall.then_and_now.measured import (
    GAIN_DB,
    PEAK,
    measured_now,
    through,
)

pytestmark = pytest.mark.django_db


def overview(browser, rebuild) -> str:
    return words(browser.get(reverse("then_and_now:rebuild", args=[rebuild.pk])))


def page_of(browser, rebuild, query="") -> str:
    return words(browser.get(reverse("then_and_now:chain", args=[rebuild.pk, 1]) + query))


def words(response) -> str:
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def test_a_chain_that_was_measured_waits_to_be_measured_again(browser, rebuild):
    assert "not measured" in overview(browser, rebuild)
    text = page_of(browser, rebuild)
    assert "Not measured on this rebuild yet." in text
    assert "microphone, placement and room are not covered" in text


def test_what_differs_is_said_in_words_on_both_pages(browser, rebuild):
    shelf = Band("high shelf", 6000.0, -2.0)
    measured_now(rebuild, through(GAIN_DB - 1.5, (PEAK, shelf)))

    said = "1.5 dB low; above 6.1 kHz 2 dB less."
    assert said in overview(browser, rebuild)
    text = page_of(browser, rebuild)
    assert said in text
    # The peak has 0.4 dB at 1 kHz, the shelf nothing.
    assert "Gain at 1 kHz</th><td>+35.4 dB<br><small>polarity normal" in text
    assert "<td>+33.9 dB" in text


def test_within_the_tolerance_of_the_house_it_agrees(browser, rebuild):
    measured_now(rebuild, through(GAIN_DB - 0.4, (PEAK,)))
    assert "Agrees within 0.5 dB." in page_of(browser, rebuild)


def test_a_control_set_after_it_was_measured_asks_to_measure_again(browser, rebuild, engineer):
    measured_now(rebuild, ago=5)
    tick_control(step_at(rebuild, 2), key="gain", value=36, seen=0, by=engineer)

    text = page_of(browser, rebuild)
    assert "Unit 2 was set after that: measure again." in text
