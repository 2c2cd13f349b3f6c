"""Rounds: turn, measure, and take it back. Each stays on record, whoever undoes it."""

import pytest
from django.core.files.base import ContentFile
from django.urls import reverse

from sessions.recall.models import Tick
from sessions.recall.rebuilds.actions import finish_rebuild, tick_control
from tests.factories import MeasurementFactory, RecordingSessionFactory
from tests.sessions.recall.rebuilds.vocal import step_at
from tests.sessions.recall.then_and_now.measured import (
    GAIN_DB,
    measured_now,
    through,
)

pytestmark = pytest.mark.django_db


def tick(rebuild, value, by, *, seen=0):
    """The preamplifier’s gain."""
    return tick_control(step_at(rebuild, 2), key="gain", value=value, seen=seen, by=by)


def page_of(browser, rebuild) -> str:
    return words(browser.get(reverse("then_and_now:chain", args=[rebuild.pk, 1])))


def undo(browser, rebuild, measurement) -> str:
    address = reverse("then_and_now:undo", args=[measurement.pk])
    return words(browser.post(address, follow=True))


def words(response) -> str:
    return " ".join(response.content.decode().split())


@pytest.fixture
def two_rounds(rebuild, engineer):
    """1.5 dB low at first, then the gain turned up from 35 to 36.5 dB, and measured again."""
    first = measured_now(rebuild, through(GAIN_DB - 1.5), ago=10)
    tick(rebuild, 36.5, engineer)
    return first, measured_now(rebuild, through(GAIN_DB))


def test_each_round_says_what_was_turned_before_it(browser, rebuild, two_rounds):
    page = page_of(browser, rebuild)
    assert "1.5 dB low." in page
    assert "Gain of Hobweir Stile 1 (P-01) to 36.5 dB" in page
    assert "Agrees within 0.5 dB." in page


def test_a_control_set_as_it_is_wanted_is_no_turn(browser, rebuild, engineer):
    measured_now(rebuild, ago=10)
    tick(rebuild, GAIN_DB, engineer)
    measured_now(rebuild)
    assert "Gain of Hobweir Stile 1 (P-01) to" not in page_of(browser, rebuild)


def test_undoing_the_newest_round_turns_back_what_was_turned_for_it(
    browser, rebuild, two_rounds, engineer
):
    first, second = two_rounds
    answer = undo(browser, rebuild, second)

    assert "Struck out. Turn Gain of Hobweir Stile 1 (P-01) back to 35 dB." in answer
    second.refresh_from_db()
    assert (second.undone_by, second.result["gain_db"]) == (engineer, through(GAIN_DB).gain_db)
    assert Tick.objects.get().value is None
    assert "<s>Agrees within 0.5 dB.</s>" in answer
    assert f"Undone by {engineer}" in answer


def test_it_is_asked_first_with_what_is_to_be_turned_back(browser, rebuild, two_rounds):
    page = words(browser.get(reverse("then_and_now:undo", args=[two_rounds[1].pk])))
    assert "Undo round 2?" in page
    assert "Gain of Hobweir Stile 1 (P-01) back to 35 dB" in page
    two_rounds[1].refresh_from_db()
    assert not two_rounds[1].is_undone


def test_undoing_an_older_round_turns_nothing_back(browser, rebuild, two_rounds):
    first, _ = two_rounds
    assert "Struck out." in undo(browser, rebuild, first)
    assert Tick.objects.get().value == 36.5
    assert "Agrees within 0.5 dB." in page_of(browser, rebuild)


def test_what_was_set_otherwise_since_stays(browser, rebuild, two_rounds, assistant):
    tick(rebuild, 37, assistant, seen=Tick.objects.get().version)
    answer = undo(browser, rebuild, two_rounds[1])
    assert "back to 35 dB" not in answer[: answer.index("What differs")]
    assert Tick.objects.get().value == 37


def test_a_round_is_undone_once(browser, rebuild, two_rounds, engineer):
    undo(browser, rebuild, two_rounds[1])
    assert f"{engineer} did that already." in undo(browser, rebuild, two_rounds[1])


def test_a_finished_rebuild_keeps_its_rounds(browser, rebuild, two_rounds, engineer):
    finish_rebuild(
        rebuild, session=RecordingSessionFactory(project=rebuild.song.project), by=engineer
    )
    assert "This rebuild is finished" in undo(browser, rebuild, two_rounds[1])
    two_rounds[1].refresh_from_db()
    assert not two_rounds[1].is_undone


def test_a_finished_rebuild_keeps_them_from_the_measurements_page_too(
    browser, rebuild, two_rounds, engineer
):
    """Neither is a round undone there, nor a return taken for a test file of it."""
    of_it = {"revision": None, "rebuild": rebuild, "chain_number": 1}
    nothing = {"result": None, "measured_at": None, "measured_by": None}
    begun = MeasurementFactory(state="begun", **of_it, **nothing)
    tones = MeasurementFactory(of_tones=True, **of_it)
    finish_rebuild(
        rebuild, session=RecordingSessionFactory(project=rebuild.song.project), by=engineer
    )
    asked = browser.get(reverse("then_and_now:undo", args=[two_rounds[1].pk]))
    assert asked.url == reverse("then_and_now:chain", args=[rebuild.pk, 1])
    for each in (two_rounds[1], tones):
        assert "Undo this measurement" not in words(browser.get(each.get_absolute_url()))
        browser.post(reverse("proving:undo", args=[each.pk]))
        each.refresh_from_db()
        assert not each.is_undone
    address = reverse("proving:take_return", args=[begun.pk])
    told = browser.post(address, {"recording": ContentFile(b"RIFF", "back.wav")}, follow=True)
    assert "Its rebuild is finished" in words(told)


def test_a_round_is_undone_on_the_rebuilds_pages_alone(browser, rebuild, two_rounds):
    """So that what was turned for it is turned back, whichever page it was asked for on."""
    page = words(browser.get(two_rounds[1].get_absolute_url()))
    asked = reverse("then_and_now:undo", args=[two_rounds[1].pk])
    assert asked in page
    assert browser.post(reverse("proving:undo", args=[two_rounds[1].pk])).url == asked
    two_rounds[1].refresh_from_db()
    assert not two_rounds[1].is_undone
