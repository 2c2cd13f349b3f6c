"""Three tones through a rebuilt chain, against those of then, or what the full measurement would have read."""

from dataclasses import replace

import pytest
from django.urls import reverse

from gear.audio.curves import response_db
from gear.audio.proving.plan import Plan
from sessions.recall.proving.models import Depth, Measurement
from sessions.recall.rebuilds.actions import tick_control
from tests.factories import MeasurementFactory, three_tones
from tests.sessions.recall.rebuilds.vocal import step_at
from tests.sessions.recall.then_and_now.measured import (
    CEILING_DBFS,
    FED_DBU,
    GAIN_DB,
    PAD_DB,
    PEAK,
    rebuilt,
    through,
)
from tests.sessions.recall.then_and_now.test_measuring import CONFIRMED, seen_on, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser(client_of, mix_engineer):
    return client_of(mix_engineer)


@pytest.fixture
def rebuild(engineer, mix_engineer):
    rebuild = rebuilt(engineer)
    rebuild.song.project.mix_engineers.add(mix_engineer.person)
    return rebuild


def tones_then(rebuild, **facts):
    """Of the chain as it was recorded: sent at -40 dBu, 35 dB up, at 63 Hz, 1 and 8 kHz."""
    revision = Measurement.objects.get(revision__isnull=False).revision
    tones = [
        tone | {"hertz": hertz}
        for tone, hertz in zip(
            three_tones(GAIN_DB, sent_dbu=-40), (63.0, 1000.0, 8000.0), strict=True
        )
    ]
    return MeasurementFactory(of_tones=True, revision=revision, tones=tones, fed_dbu=-40, **facts)


def sent_now(rebuild, tones):
    return MeasurementFactory(
        of_tones=True, revision=None, rebuild=rebuild, chain_number=1, tones=tones
    )


def chain_page(browser, rebuild) -> str:
    return words(browser.get(reverse("then_and_now:chain", args=[rebuild.pk, 1])))


def test_tones_are_sent_as_they_were_then(browser, rebuild):
    """At the frequencies and the level of then, whatever the house has meanwhile."""
    tones_then(rebuild)
    address = reverse("then_and_now:measure_tones", args=[rebuild.pk, 1])
    shown = browser.get(address)

    assert shown.context["form"]["fed_dbu"].value() == "−40.0 dBu"
    seen = {"seen": seen_on(words(shown)), "fed_dbu": "-40", "pad_db": "40"}
    browser.post(address, seen | CONFIRMED)

    made = Measurement.objects.get(rebuild=rebuild)
    assert (made.depth, made.chain_number) == (Depth.TONES, 1)
    assert [tone.hertz for tone in made.tones_read] == [63, 1000, 8000]


def test_nothing_is_sent_before_each_caution_is_confirmed(browser, rebuild):
    address = reverse("then_and_now:measure_tones", args=[rebuild.pk, 1])
    seen = {"seen": seen_on(words(browser.get(address))), "fed_dbu": "-40", "pad_db": "40"}

    assert browser.post(address, seen).status_code == 422
    assert not Measurement.objects.filter(rebuild=rebuild).exists()


def test_difference_from_the_tones_of_then_is_told(browser, rebuild):
    then = tones_then(rebuild)
    now = [
        tone | {"read_dbu": tone["read_dbu"] + by}
        for tone, by in zip(then.tones, (-2, -2, -4), strict=True)
    ]
    sent_now(rebuild, now)

    assert "2 dB low; at 8 kHz 2 dB less." in chain_page(browser, rebuild)


def test_full_measurement_of_then_is_asked_at_the_tones(browser, rebuild):
    """The published response of the equaliser's peak, at its frequencies: nothing differs."""
    now = [
        tone | {"read_dbu": tone["read_dbu"] + response_db((PEAK,), tone["hertz"])}
        for tone in three_tones(GAIN_DB, sent_dbu=-40)
    ]
    sent_now(rebuild, now)

    assert "Agrees within 0.5 dB." in chain_page(browser, rebuild)


def test_without_tones_today_they_are_offered(browser, rebuild):
    page = chain_page(browser, rebuild)

    assert "Not sent through this rebuild yet." in page
    assert reverse("then_and_now:measure_tones", args=[rebuild.pk, 1]) in page


def test_tones_that_were_begun_are_found_again(browser, rebuild):
    begun = MeasurementFactory(
        of_tones=True,
        revision=None,
        rebuild=rebuild,
        chain_number=1,
        state="begun",
        measured_at=None,
        measured_by=None,
    )
    page = chain_page(browser, rebuild)

    assert "Three tones were begun" in page
    assert begun.get_absolute_url() in page
    assert begun.start_page == reverse("then_and_now:measure_tones", args=[rebuild.pk, 1])


def test_tones_are_asked_for_again_once_a_unit_was_set_after_them(browser, rebuild, engineer):
    then = tones_then(rebuild)
    sent_now(rebuild, then.tones)
    assert "send them again" not in chain_page(browser, rebuild)

    tick_control(step_at(rebuild, 2), key="gain", value=30, seen=0, by=engineer)

    assert "Unit 2 was set after that: send them again." in chain_page(browser, rebuild)


@pytest.fixture
def compressing(engineer, mix_engineer):
    """Held down 3:1 from -42 dBFS on, which is -24 dBu where the file is fed in."""
    rebuild = rebuilt(engineer, points=())
    rebuild.song.project.mix_engineers.add(mix_engineer.person)
    straight = through(GAIN_DB)
    held = tuple((level, out - max(0, level + 42) * 2 / 3) for level, out in straight.curve)
    MeasurementFactory(
        revision=rebuild.steps.get(position=2).stage.revision,
        result=replace(straight, curve=held).as_json(),
        plan=Plan(48_000, CEILING_DBFS).as_json(),
        pad_db=PAD_DB,
        fed_dbu=FED_DBU + 20,
    )
    return rebuild


def test_tones_are_proposed_no_louder_than_the_chain_was_straight(browser, compressing):
    shown = browser.get(reverse("then_and_now:measure_tones", args=[compressing.pk, 1]))

    assert shown.context["form"]["fed_dbu"].value() == "−24.0 dBu"


def test_tones_that_a_compressor_holds_down_are_not_called_low(browser, compressing):
    sent_now(compressing, three_tones(GAIN_DB - 8, sent_dbu=0))

    page = chain_page(browser, compressing)

    assert "low." not in page
    assert "sent at 0.0 dBu, but by the full measurement the gain changes above −24.0 dBu" in page
