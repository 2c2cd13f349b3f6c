"""A rebuild on its pages."""

import csv
import io
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from gear.equipment.models import UnitState
from sessions.papers.stored.upkeep import changed_subjects
from sessions.recall.models import Rebuild, Tick
from sessions.recall.rebuilds.actions import finish_rebuild, tick_control
from sessions.recall.rebuilds.stored import REBUILD_REPORT
from tests.factories import (
    FaultFactory,
    RecordingSessionFactory,
    ReservationFactory,
    UnitFactory,
)
from tests.printed import accessibility_errors, text_of
from tests.sessions.recall.rebuilds.vocal import (
    preamplifier_model,
    recorded_vocal,
    started,
    step_at,
)

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


@pytest.fixture
def browser(client_of, engineer):
    return client_of(engineer)


def url(name, thing):
    return reverse(f"rebuild:{name}", args=[thing.pk])


def words(response):
    return " ".join(response.content.decode().split())


def test_rebuild_is_started_from_the_recall_sheet(browser, vocal):
    song = vocal.chain.parts.get().song
    sheet = browser.get(reverse("recall:song", args=[song.pk]))
    assert url("start", song) in words(sheet)

    page = browser.post(url("start", song), {"chains": ["1"]})

    rebuild = Rebuild.objects.get(song=song)
    assert page.url == url("units", rebuild)


def test_no_chain_ticked_is_said_beside_the_field(browser, vocal):
    page = browser.post(url("start", vocal.chain.parts.get().song), {"start": ""})

    assert page.status_code == 422
    assert "Tick at least one chain." in words(page)
    assert not Rebuild.objects.exists()


def test_units_page_says_what_became_of_the_unit_and_what_can_stand_in(browser, vocal, rebuild):
    preamplifier = vocal.stages.get(position=2).unit
    preamplifier.state = UnitState.ON_THE_BENCH
    preamplifier.save()
    twin = UnitFactory(model=preamplifier.model, asset_tag="P-02", note="Hums a little")
    FaultFactory(unit=twin)
    substitute = UnitFactory(model=preamplifier_model(name="Ford 2"), asset_tag="P-09")
    substitute.model.current_panel().controls.filter(key="48-v").delete()

    text = words(browser.get(url("units", rebuild)))

    assert "on the bench" in text
    assert "(P-02): 1 open fault; Hums a little" in text
    assert "Can’t be matched: 48 V on: it has no such control." in text
    assert "(P-09): 1 setting can’t be matched" in text


def test_meter_is_read_and_nothing_is_set(browser, engineer):
    settings = {"48-v": 1, "gain": 35, "meter": 20}
    vocal = recorded_vocal(preamplifier={"has_meter": True}, settings=settings)

    text = words(browser.get(url("detail", started(vocal, engineer))))

    assert "Read <b>20 dB</b> then: nothing to set" in text
    assert "Reads as logged<span" in text


def test_units_are_chosen_and_a_later_choice_of_another_is_told(browser, rebuild):
    step, twin = step_at(rebuild, 2), UnitFactory(model=step_at(rebuild, 2).unit.model)
    form = {
        f"step-{each.pk}-{name}": value
        for each in rebuild.steps.all()
        for name, value in (("unit", each.unit_id), ("seen", 1))
    }

    chosen = browser.post(url("units", rebuild), form | {f"step-{step.pk}-unit": twin.pk})
    late = browser.post(url("units", rebuild), form | {f"step-{step.pk}-unit": ""})

    assert chosen.url == url("detail", rebuild)
    assert step_at(rebuild, 2).unit == twin
    assert late.status_code == 409
    assert f"Somebody else chose {twin} here meanwhile." in words(late)


def test_units_are_booked_for_a_day_through_the_booking_form(client_of, manager, rebuild):
    day = timezone.localdate() + timedelta(days=3)
    starts = timezone.localtime() + timedelta(days=3)
    unit = step_at(rebuild, 2).unit
    session = RecordingSessionFactory(starts_at=starts)
    ReservationFactory(session=session, room=None, unit=unit)

    page = client_of(manager).get(url("units", rebuild), {"day": day.isoformat()})

    address = page.context["day"].booking_address
    assert [taken for taken, _when in page.context["day"].taken] == [unit]
    form = client_of(manager).get(address).context["form"]
    assert form.initial["project"] == rebuild.song.project_id
    assert form.initial["units"] == [str(step.unit_id) for step in rebuild.steps.all()]
    assert form.initial["starts_at"] == f"{day}T10:00"


def test_asking_for_a_day_keeps_the_units_as_they_are_chosen(browser, rebuild):
    step, twin = step_at(rebuild, 2), UnitFactory(model=step_at(rebuild, 2).unit.model)
    form = {
        f"step-{each.pk}-{name}": value
        for each in rebuild.steps.all()
        for name, value in (("unit", each.unit_id), ("seen", 1))
    } | {f"step-{step.pk}-unit": twin.pk, "ask": "day"}

    without = browser.post(url("units", rebuild), form | {"day": ""})
    asked = browser.post(url("units", rebuild), form | {"day": "2026-06-01"})

    assert without.status_code == 422
    assert "Choose the day to ask for." in words(without)
    assert asked.url == f"{url('units', rebuild)}?day=2026-06-01#book"
    assert step_at(rebuild, 2).unit == twin


def test_control_is_ticked_as_logged_by_one_press(browser, rebuild):
    step = step_at(rebuild, 2)

    answer = browser.post(
        url("tick", step), {"key": "gain", "seen": 0, "as_logged": 1, "value": ""}, headers=HTMX
    )

    assert Tick.objects.get().value == 35
    text = words(answer)
    assert "<html" not in text
    assert "35 dB" in text
    assert "1 of 2 set" in text


def test_control_set_otherwise_says_how_far_it_is_off(browser, rebuild):
    step = step_at(rebuild, 2)

    answer = browser.post(
        url("tick", step), {"key": "gain", "seen": 0, "value": "38"}, headers=HTMX
    )

    assert "15°, +3 dB" in words(answer)


def test_value_that_is_not_understood_stays_in_its_field(browser, rebuild):
    step = step_at(rebuild, 2)

    by_script = browser.post(
        url("tick", step), {"key": "gain", "seen": 0, "value": "<b>loud"}, headers=HTMX
    )
    by_hand = browser.post(url("tick", step), {"key": "gain", "seen": 0, "value": "loud"})

    assert by_script.status_code == by_hand.status_code == 422
    assert "&lt;b&gt;loud" in words(by_script)
    assert "Write a value from 0 dB to +60 dB" in words(by_hand) or (
        "Write a value from 0 dB to 60 dB" in words(by_hand)
    )
    assert 'value="loud"' in words(by_hand)
    assert not Tick.objects.exists()


def test_tick_that_came_second_shows_the_first_and_keeps_what_was_typed(
    browser, rebuild, assistant
):
    step = step_at(rebuild, 2)
    first = tick_control(step, key="gain", value=35, seen=0, by=assistant)

    answer = browser.post(
        url("tick", step), {"key": "gain", "seen": 0, "value": "40"}, headers=HTMX
    )

    text = words(answer)
    assert answer.status_code == 422
    assert f"{assistant} set 35 dB here meanwhile" in text
    assert 'value="40 dB"' in text
    again = browser.post(url("tick", step), {"key": "gain", "seen": first.version, "value": "40"})
    assert again.url.endswith(f"#control-{step.pk}-gain")
    assert Tick.objects.get().value == 40


def test_tick_of_a_control_that_is_on_the_panel_no_more_shows_the_list_anew(browser, rebuild):
    asked = url("tick", step_at(rebuild, 2)), {"key": "bias", "seen": 0}

    assert browser.post(*asked).url == url("detail", rebuild)
    assert browser.post(*asked, headers=HTMX)["HX-Refresh"] == "true"
    assert "another unit was chosen meanwhile" in words(browser.get(url("detail", rebuild)))


def test_unit_is_put_in_place(browser, rebuild):
    step = step_at(rebuild, 1)

    browser.post(url("in_place", step), {"in_place": "1"})

    assert step_at(rebuild, 1).is_in_place
    answer = browser.post(url("in_place", step), {"in_place": "0"}, headers=HTMX)
    assert "Set in place" in words(answer)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("-5,2 dBu", "−0.2 dB"),
        ("−7", "Out first at:"),
        ("-5", "agrees"),
        ("-23 dBFS", "agrees"),
    ],
)
def test_tone_reading_says_how_far_it_departs(browser, rebuild, typed, said):
    answer = browser.post(
        url("tone_reading", step_at(rebuild, 2)), {"reading": typed, "seen": 1}, headers=HTMX
    )

    assert said in words(answer)
    assert "<table" not in words(answer)  # what is typed at other stages stays


def test_reading_that_is_no_level_is_refused_beside_its_field(browser, rebuild):
    answer = browser.post(url("tone_reading", step_at(rebuild, 2)), {"reading": "loud", "seen": 1})

    assert answer.status_code == 422
    assert "“loud” is not understood here. Enter a level such as +4.0 dBu" in words(answer)
    assert 'value="loud"' in words(answer)


def test_tone_is_asked_for_from_where_it_goes_in(browser, rebuild):
    text = words(browser.get(url("tone", rebuild)))

    assert "1 kHz at −40.0 dBu</strong> into unit 2" in text
    assert "Reading at unit 2" in text
    assert "Reading at unit 1" not in text
    assert ">logged</span>" in text
    assert "computed −5.0 dBu" in text  # 35 dB of gain


def test_control_set_after_the_tone_is_flagged_on_both_pages(browser, rebuild):
    step, said = step_at(rebuild, 2), "et after the tone was read: read it again."
    browser.post(url("tone_reading", step), {"reading": "-5", "seen": 1})
    assert said not in words(browser.get(url("tone", rebuild)))

    answer = browser.post(
        url("tick", step), {"key": "gain", "seen": 0, "as_logged": 1, "value": ""}, headers=HTMX
    )

    assert f"S{said}" in words(answer)
    assert f"S{said}" in words(browser.get(url("tone", rebuild)))
    assert "Something was set after the tone was read" in words(browser.get(url("finish", rebuild)))


def test_second_reading_of_a_stage_shows_the_first_and_keeps_what_was_typed(browser, rebuild):
    step = step_at(rebuild, 2)
    browser.post(url("tone_reading", step), {"reading": "-5", "seen": 1})

    late = browser.post(url("tone_reading", step), {"reading": "-6", "seen": 1}, headers=HTMX)

    assert late.status_code == 422
    assert "Somebody else read −5.0 dBu here meanwhile" in words(late)
    assert 'value="-6"' in words(late)


def test_tone_check_is_under_cautions(browser, rebuild):
    text = words(browser.get(url("tone", rebuild)))

    assert "Turn monitors and headphones all the way down" in text
    assert "Switch phantom power off" in text


def test_rebuild_is_finished_into_todays_session_and_reported_on_paper(browser, rebuild):
    today = RecordingSessionFactory(
        project=rebuild.song.project, title="Mixing", starts_at=timezone.now() - timedelta(hours=1)
    )
    step = step_at(rebuild, 2)
    tick_control(step, key="gain", value=38, seen=0, by=rebuild.started_by)
    assert f'value="{today.pk}" selected' in words(browser.get(url("finish", rebuild)))

    done = browser.post(url("finish", rebuild), {"session": today.pk, "note": "<i>For the mix"})

    assert done.url == url("report", rebuild)
    assert today.setups.get().chains.count() == 1
    page = words(browser.get(url("report", rebuild)))
    assert "15°, +3 dB <strong>(out of tolerance)" in page
    pdf = browser.get(url("report_pdf", rebuild)).getvalue()
    paper = text_of(pdf)
    assert accessibility_errors(pdf) == []
    for said in ("Rebuild report", "<i>For the mix", "15°, +3 dB", "not set", "P-01"):
        assert said in paper
    assert browser.get(url("finish", rebuild)).url == url("report", rebuild)
    assert "Set as logged" not in words(browser.get(url("detail", rebuild)))


def test_session_of_another_project_is_not_offered(browser, rebuild):
    other = RecordingSessionFactory()

    answer = browser.post(url("finish", rebuild), {"session": other.pk})

    assert answer.status_code == 422
    assert not Rebuild.objects.get().is_finished


def test_mix_engineer_rebuilds_only_what_they_mix(client_of, mix_engineer, rebuild):
    mixing = client_of(mix_engineer)
    pages = [url(name, rebuild) for name in ("detail", "units", "tone", "finish", "report")]
    assert {mixing.get(page).status_code for page in pages} == {404}
    step = step_at(rebuild, 2)
    assert mixing.post(url("tick", step), {"key": "gain", "seen": 0}).status_code == 404

    rebuild.song.project.mix_engineers.add(mix_engineer.person)

    assert {mixing.get(page).status_code for page in pages} == {200}
    assert "The studio manager books" in words(
        mixing.get(url("units", rebuild), {"day": "2026-06-01"})
    )


@pytest.mark.parametrize("rebuilds", [1, 3])
def test_list_costs_the_same_queries_for_any_number(
    browser, vocal, engineer, rebuilds, django_assert_num_queries
):
    for number in range(rebuilds):
        rebuild = started(vocal, engineer)
        if number:
            session = RecordingSessionFactory(project=rebuild.song.project)
            finish_rebuild(rebuild, session=session, by=engineer)

    with django_assert_num_queries(4):
        page = browser.get(reverse("rebuild:list"))

    assert page.content.decode().count("Rebuild of") == rebuilds


def test_report_is_a_list_with_every_control(browser, rebuild):
    tick_control(step_at(rebuild, 2), key="gain", value=38, seen=0, by=rebuild.started_by)

    text = browser.get(url("report_csv", rebuild)).getvalue().decode("utf-8-sig")

    rows = list(csv.DictReader(io.StringIO(text)))
    assert [(row["unit"], row["control"], row["logged"], row["set"]) for row in rows] == [
        ("1", "", "", ""),
        ("2", "48 V", "on", ""),
        ("2", "Gain", "35 dB", "38 dB"),
    ]
    assert rows[2]["difference"] == "15°, +3 dB"
    assert rows[2]["within tolerance"] == "no"


def test_report_follows_what_is_ticked_and_is_ready_once_the_rebuild_is_finished(rebuild):
    before = timezone.now() - timedelta(seconds=1)
    tick_control(step_at(rebuild, 2), key="gain", value=38, seen=0, by=rebuild.started_by)

    now = timezone.now() + timedelta(seconds=1)

    assert changed_subjects(REBUILD_REPORT, before, now) == {rebuild.pk}
    assert not REBUILD_REPORT.ahead.exists()
    session = RecordingSessionFactory(project=rebuild.song.project)
    finish_rebuild(rebuild, session=session, by=rebuild.started_by)
    assert REBUILD_REPORT.ahead.get() == rebuild
