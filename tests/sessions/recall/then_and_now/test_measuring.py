"""A rebuilt chain is measured by the plan of then, and only once each caution is confirmed."""

import pytest
from django.urls import reverse

from sessions.recall.proving.models import Measurement
from sessions.recall.rebuilds.actions import finish_rebuild, tick_control
from studio.roles import Role
from tests.factories import RecordingSessionFactory, UserFactory
from tests.sessions.recall.rebuilds.vocal import step_at
from tests.sessions.recall.then_and_now.measured import rebuilt

pytestmark = pytest.mark.django_db
CONFIRMED = dict.fromkeys(["monitors", "headphones", "phantom", "path", "loop"], "on")


@pytest.fixture
def browser(client_of, mix_engineer):
    return client_of(mix_engineer)


@pytest.fixture
def rebuild(engineer, mix_engineer):
    rebuild = rebuilt(engineer, points=(2, None))
    rebuild.song.project.mix_engineers.add(mix_engineer.person)
    return rebuild


def page_of(rebuild, query="") -> str:
    return reverse("then_and_now:measure", args=[rebuild.pk, 1]) + query


def words(response) -> str:
    return " ".join(response.content.decode().split())


def seen_on(page: str) -> str:
    found = page[page.index('name="seen" value="') :]
    return found.split('"')[3]


def sent(browser, rebuild, query="", **more) -> dict:
    page = words(browser.get(page_of(rebuild, query)))
    return {"seen": seen_on(page), "fed_dbu": "-32 dBu", "pad_db": "20"} | CONFIRMED | more


def test_the_plan_has_the_level_and_the_pad_of_then(browser, rebuild):
    page = words(browser.get(page_of(rebuild)))
    assert 'Fed as it was then: up to <strong class="nowrap">−32.0 dBu</strong>' in page
    assert "behind a pad of 20 dB" in page
    assert "fed in here" in page


def test_phantom_power_that_the_checklist_has_on_is_said_at_its_tick(browser, rebuild, engineer):
    page = words(browser.get(page_of(rebuild)))
    assert "Logged as on at Hobweir Stile 1 (P-01)" in page
    tick_control(step_at(rebuild, 2), key="48-v", value=0, seen=0, by=engineer)
    assert "as on at Hobweir Stile 1" not in words(browser.get(page_of(rebuild)))


def test_a_confirmed_measurement_is_of_the_chain_as_it_stands(browser, rebuild, mix_engineer):
    answer = browser.post(page_of(rebuild), sent(browser, rebuild))

    made = Measurement.objects.get(rebuild=rebuild)
    assert answer.url == made.get_absolute_url()
    assert (made.chain_number, made.up_to, made.cautions_by) == (1, None, mix_engineer)
    assert made.file_plan.ceiling_dbfs == -30  # -32 dBu behind 20 dB, where 0 dBFS is +18 dBu
    page = words(browser.get(reverse("then_and_now:chain", args=[rebuild.pk, 1])))
    assert "A test file was made" in page


def test_up_to_a_jack_it_is_of_the_units_before_it(browser, rebuild):
    browser.post(page_of(rebuild, "?up_to=2"), sent(browser, rebuild, "?up_to=2"))
    assert Measurement.objects.get(rebuild=rebuild).up_to == 2


@pytest.mark.parametrize("without", CONFIRMED)
def test_without_one_caution_there_is_no_file(browser, rebuild, without):
    facts = sent(browser, rebuild)
    del facts[without]
    answer = browser.post(page_of(rebuild), facts)

    assert answer.status_code == 422
    assert "See to this first, then tick it." in words(answer)
    assert not Measurement.objects.filter(rebuild=rebuild).exists()


def test_what_was_set_otherwise_meanwhile_asks_for_another_look(browser, rebuild, engineer):
    facts = sent(browser, rebuild)
    tick_control(step_at(rebuild, 2), key="gain", value=20, seen=0, by=engineer)
    answer = browser.post(page_of(rebuild), facts)

    assert answer.status_code == 409
    assert "Its settings were changed meanwhile: look at the plan again." in words(answer)


def test_a_level_that_clips_as_it_is_set_now_is_refused(browser, rebuild, engineer):
    tick_control(step_at(rebuild, 2), key="gain", value=55, seen=0, by=engineer)
    answer = browser.post(page_of(rebuild), sent(browser, rebuild))

    assert answer.status_code == 422
    assert "clips at" in words(answer)


def test_a_finished_rebuild_is_measured_as_its_setup(browser, rebuild, engineer):
    finish_rebuild(
        rebuild, session=RecordingSessionFactory(project=rebuild.song.project), by=engineer
    )
    assert browser.get(page_of(rebuild)).status_code == 302


def test_a_chain_of_somebody_elses_project_is_not_found(client_of, rebuild):
    other = client_of(UserFactory(role=Role.MIX_ENGINEER))
    assert other.get(page_of(rebuild)).status_code == 404


def test_level_of_then_that_would_clip_now_is_not_proposed(browser, rebuild, engineer):
    """The gain stands 20 dB higher: the equaliser’s input or the converter would clip by the file of then."""
    tick_control(step_at(rebuild, 2), key="gain", value=60, seen=0, by=engineer)

    shown = browser.get(page_of(rebuild))

    form = shown.context["form"]
    assert form.initial["fed_dbu"] < form.feed.limit.dbu < -32
    assert "As it was fed then it would clip now" in words(shown)
