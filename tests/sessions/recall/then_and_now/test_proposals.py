"""Which control would explain it, on the page and logged: the equaliser of the rebuild acts otherwise than it is set."""

import re

import pytest
from django.urls import reverse

from gear.audio.curves import Band
from sessions.recall.models import Tick
from sessions.recall.rebuilds.actions import choose_unit, tick_control
from tests.sessions.recall.rebuilds.vocal import step_at
from tests.sessions.recall.then_and_now.measured import (
    GAIN_DB,
    measured_now,
    through,
)

pytestmark = pytest.mark.django_db
TURN = re.compile(r'name="(turn-[^"]*|turn)" value="([^"]*)"')


@pytest.fixture
def found(rebuild):
    """The gain is 1.5 dB low, the middle 2 dB less than it was."""
    return measured_now(rebuild, through(GAIN_DB - 1.5, (Band("peak", 3000.0, 1.0, 1.0),)), ago=1)


def proposal_page(rebuild) -> str:
    return reverse("then_and_now:proposal", args=[rebuild.pk, 1])


def chain_page(rebuild) -> str:
    return reverse("then_and_now:chain", args=[rebuild.pk, 1])


def turned_page(rebuild) -> str:
    return reverse("then_and_now:turned", args=[rebuild.pk, 1])


def words(response) -> str:
    return " ".join(response.content.decode().split())


def first_way(page: str) -> dict:
    """What the first press of the proposal sends."""
    form = page[page.index(r"/sound/turned/") :]
    form = form[: form.index("</form>")]
    sent: dict = {"turn": []}
    for name, value in TURN.findall(form):
        if name == "turn":
            sent["turn"].append(value)
        else:
            sent[name] = value
    return sent


def test_the_turns_are_said_in_the_words_of_the_panel(browser, rebuild, found):
    assert proposal_page(rebuild) in words(browser.get(chain_page(rebuild)))
    page = words(browser.get(proposal_page(rebuild)))
    assert "<strong>Gain</strong> of Hobweir Stile 1 (P-01): from 35 dB to" in page
    assert '<strong class="nowrap">36.5 dB, 1:05</strong>' in page
    assert "<strong>Mid</strong>" in page
    assert "Would remain: nothing that can be told." in page


def test_a_turn_that_is_logged_stands_on_the_checklist(browser, rebuild, found, engineer):
    sent = first_way(words(browser.get(proposal_page(rebuild))))
    answer = browser.post(turned_page(rebuild), sent, follow=True)

    assert "Logged on the checklist: now measure again." in words(answer)
    ticks = {tick.key: (tick.value, tick.ticked_by) for tick in Tick.objects.all()}
    assert ticks == {"gain": (36.5, engineer), "mid": (5, engineer)}
    page = words(browser.get(chain_page(rebuild)))
    assert "Unit 2 was set after that: measure again." in page
    assert "Which control would explain it" not in page  # until it is measured as it stands now


def test_what_somebody_else_set_meanwhile_is_not_written_over(browser, rebuild, found, assistant):
    sent = first_way(words(browser.get(proposal_page(rebuild))))
    tick_control(step_at(rebuild, 2), key="gain", value=30, seen=0, by=assistant)
    answer = browser.post(turned_page(rebuild), sent, follow=True)

    assert f"{assistant} set one of these meanwhile" in words(answer)
    assert Tick.objects.get().value == 30  # nor is the other turn saved


def test_a_unit_that_was_changed_meanwhile_takes_no_turn(browser, rebuild, found, engineer):
    sent = first_way(words(browser.get(proposal_page(rebuild))))
    choose_unit(step_at(rebuild, 2), unit=None, is_left_out=True, seen=1, by=engineer)
    answer = browser.post(turned_page(rebuild), sent, follow=True)

    assert "another unit was chosen meanwhile" in words(answer)
    assert not Tick.objects.exists()


def test_where_it_agrees_nothing_is_proposed(browser, rebuild):
    measured_now(rebuild)
    assert "Which control would explain it" not in words(browser.get(chain_page(rebuild)))


def test_what_no_control_explains_is_said_to_be_elsewhere(browser, rebuild):
    """A notch that no band of the panel makes."""
    measured_now(
        rebuild, through(GAIN_DB, (Band("peak", 3000.0, 3.0, 1.0), Band("peak", 200.0, -9.0, 8.0)))
    )
    page = words(browser.get(proposal_page(rebuild)))
    assert "No turn of up to three logged controls brings it back." in page
    assert "Would remain" not in page
