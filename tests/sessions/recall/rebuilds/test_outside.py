"""A stage without a unit of the gear: it keeps the whole panel that its sheet has."""

from copy import deepcopy
from dataclasses import replace

import pytest
from django.urls import reverse

from gear.equipment.models import GearModel, Phantom, Unit, UnitState
from sessions.recall.models import Rebuild, Tick
from sessions.recall.rebuilds.actions import choose_unit, read_tone, set_in_place, tick_control
from sessions.recall.rebuilds.checklist import checklist_of, stage_line
from sessions.recall.rebuilds.forms import TakeOverForm
from sessions.recall.rebuilds.report import rebuild_report
from sessions.setups.models import Setup
from tests.factories import ControlFactory, ImportedSheetFactory, RoomFactory, UnitFactory
from tests.sessions.recall.imported.test_pages import written_elsewhere
from tests.sessions.recall.rebuilds.vocal import preamplifier_model, started, step_at

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def url(name, thing):
    return reverse(f"rebuild:{name}", args=[thing.pk])


def words(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def browser(client_of, engineer):
    return client_of(engineer)


@pytest.fixture
def imported(browser):
    """A rebuild of another studio's sheet in a house that has no gear at all."""
    data = written_elsewhere()
    sheet = ImportedSheetFactory(data=data, song__title="Slow the Lantern")
    browser.post(reverse("rebuild:start_imported", args=[sheet.pk]), {"chains": ["1"]})
    assert not Unit.objects.exists()
    return sheet.rebuilds.get()


def on_the_bench(vocal, by):
    unit = vocal.stages.get(position=2).unit
    Unit.objects.filter(pk=unit.pk).update(state=UnitState.ON_THE_BENCH)
    return started(vocal, by)


def test_every_control_of_an_imported_sheet_is_ticked_without_any_unit_here(browser, imported):
    checklist = checklist_of(imported)
    of_sheet = [
        (stage["position"], control["key"])
        for stage in imported.imported.data["chains"][0]["stages"]
        for control in (stage["panel"] or {"controls": []})["controls"]
    ]
    shown = [
        (line.step.position, each.control.key)
        for line in checklist.stages
        for each in line.controls
    ]
    assert shown == of_sheet == [(2, "48-v"), (2, "gain")]
    page = words(browser.get(imported.get_absolute_url()))
    assert "0 of 2 logged controls set" in page
    assert "(not in the gear: P-01)" in page

    for line in checklist.stages:
        for each in line.controls:
            sent = {"key": each.control.key, "seen": 0, "value": "", each.button: 1}
            answer = browser.post(url("tick", line.step), sent, headers=HTMX)
            assert answer.status_code == 200

    done = checklist_of(imported)
    assert (done.set_so_far, done.to_set, done.off) == (2, 2, 0)
    assert "2 of 2 logged controls set" in words(browser.get(imported.get_absolute_url()))


def test_unit_on_the_bench_keeps_its_panel_and_a_hired_one_is_named(browser, vocal, engineer):
    rebuild = on_the_bench(vocal, engineer)
    step = step_at(rebuild, 2)
    assert (step.unit, stage_line(step).to_set) == (None, 2)
    line = stage_line(step)
    line = replace(line, wanted=replace(line.wanted, serial_number="PR5223"))
    assert TakeOverForm(line=line)["serial_number"].value() == "PR5223"
    form = {
        f"step-{each.pk}-{name}": value
        for each in rebuild.steps.all()
        for name, value in (("unit", each.unit_id or ""), ("seen", 1))
    }

    browser.post(url("units", rebuild), form | {f"step-{step.pk}-outside_unit": "hired: no. 12"})

    line = stage_line(step)
    assert line.unit_in_words == "Hobweir Stile 1 (hired: no. 12)"
    hired = replace(line, wanted=replace(line.wanted, serial_number="PR5223"))
    assert TakeOverForm(line=hired)["serial_number"].value() == "", "that of the logged unit"
    assert (line.set_so_far, line.to_set) == (0, 2)
    assert "Hobweir Stile 1 (hired: no. 12)" in words(browser.get(rebuild.get_absolute_url()))


def test_words_of_a_hired_unit_beside_another_choice_are_asked_about(browser, rebuild):
    step = step_at(rebuild, 2)
    form = {
        f"step-{each.pk}-{name}": value
        for each in rebuild.steps.all()
        for name, value in (("unit", each.unit_id), ("seen", 1))
    }

    page = browser.post(url("units", rebuild), form | {f"step-{step.pk}-outside_unit": "hired"})

    assert page.status_code == 422
    assert "Choose “One from outside” for this" in words(page)
    assert 'value="hired"' in words(page)


def test_tone_is_read_at_it_and_it_stands_in_the_report(browser, imported):
    step = step_at(imported, 2)
    tick_control(step, key="gain", value=35, seen=0, by=imported.started_by)
    browser.post(url("tone_reading", step), {"reading": "-5", "seen": 1})

    report = rebuild_report(checklist_of(imported))

    facts = dict(report.summary)
    assert facts["Tone"] == "read at 1 of 1 units, in 1 of 1 chains, none out"
    assert facts["From outside, not in the gear"] == "2"
    told = [
        (each.label, each.logged, each.set_to) for each in report.chains[0].stages[1].differences
    ]
    assert told == [("48 V", "on", "not set"), ("Gain", "35 dB", "35 dB")]


def test_words_and_ticks_stay_when_another_hired_unit_is_named(engineer, vocal):
    rebuild = on_the_bench(vocal, engineer)
    step = step_at(rebuild, 2)
    tick_control(step, key="gain", value=35, seen=0, by=engineer)

    choose_unit(step, unit=None, outside_unit="hired", seen=1, by=engineer)

    assert stage_line(step).set_so_far == 1


def test_unit_of_the_same_model_keeps_the_ticks_of_the_same_controls(engineer, vocal):
    rebuild = on_the_bench(vocal, engineer)
    step = step_at(rebuild, 2)
    for key, value in (("gain", 35), ("48-v", 1)):
        tick_control(step, key=key, value=value, seen=0, by=engineer)
    twin = UnitFactory(model=vocal.stages.get(position=2).unit.model)
    other = UnitFactory(model=preamplifier_model(name="Ford 2"))

    choose_unit(step, unit=twin, seen=1, by=engineer)
    assert stage_line(step).set_so_far == 2

    choose_unit(step, unit=other, seen=2, by=engineer)
    assert stage_line(step).set_so_far == 0


def test_model_and_panel_are_taken_over_with_the_ticks(browser, imported, engineer):
    step = step_at(imported, 2)
    tick_control(step, key="gain", value=36, seen=0, by=engineer)
    set_in_place(step, in_place=True, by=engineer)
    read_tone(step, reading=-4, seen=1, by=engineer)
    asked = words(browser.get(url("take_over", step)))
    assert "with its panel of 2 controls" in asked

    browser.post(url("take_over", step), {"asset_tag": "P-77", "serial_number": "", "seen": 2})

    unit, line = Unit.objects.get(), stage_line(step)
    assert (str(unit), unit.model.category) == ("Hobweir Stile 1 (P-77)", "preamplifier")
    assert unit.history.get().history_user == engineer
    of_sheet = imported.imported.data["chains"][0]["stages"][1]["panel"]["controls"]
    here = [each.facts() for each in unit.model.current_panel().controls.all()]
    assert here == [each | {"serves_all": each.get("serves_all", False)} for each in of_sheet]
    assert (line.unit, line.set_so_far, line.controls[1].set_to) == (unit, 1, 36)
    assert line.step.is_in_place
    assert line.step.tone_reading_dbu == -4
    assert checklist_of(imported).to_read_again == 0


def test_panel_that_the_house_has_stays_as_it_is(browser, imported, engineer):
    model = preamplifier_model()
    ControlFactory(panel=model.current_panel(), position=3, key="air", label="Low cut")
    model.current_panel().controls.filter(key="gain").update(unit="dBu")
    step = step_at(imported, 2)
    for key, value in (("gain", 35), ("48-v", 1)):
        tick_control(step, key=key, value=value, seen=0, by=engineer)
    model.maker = "Hobweir"
    model.save()

    assert "1 of the sheet’s 2 controls are the same" in words(browser.get(url("take_over", step)))
    browser.post(url("take_over", step), {"asset_tag": "P-77", "seen": 1})

    assert GearModel.objects.get(name="Stile 1").current_panel().controls.count() == 3
    assert list(Tick.objects.values_list("key", flat=True)) == ["48-v"]


def test_tag_that_is_taken_is_refused_beside_its_field(browser, imported):
    UnitFactory(asset_tag="P-01")

    page = browser.post(url("take_over", step_at(imported, 2)), {"asset_tag": "P-01", "seen": 1})

    assert page.status_code == 422
    assert "Another unit carries this tag." in words(page)
    assert 'value="P-01"' in words(page)


def test_what_the_gear_has_no_room_for_is_refused_whole(browser, imported):
    stage = imported.imported.data["chains"][0]["stages"][1]
    stage["unit"]["model"]["name"] = "Stile " * 30
    imported.imported.save()

    page = browser.post(url("take_over", step_at(imported, 2)), {"asset_tag": "P-77", "seen": 1})

    assert page.status_code == 422
    assert "The gear can’t take its name over" in words(page)
    assert not GearModel.objects.exists()


def test_only_who_may_edit_gear_takes_over(client_of, assistant, imported):
    assert client_of(assistant).get(url("take_over", step_at(imported, 2))).status_code == 403


def test_phantom_power_is_refused_for_a_hired_ribbon_of_the_sheet(browser, imported):
    """The sheet's microphone is one that 48 V damages: [hired ribbon] -- [P-01, 48 V on as logged]"""
    microphone = imported.imported.data["chains"][0]["stages"][0]["unit"]["model"]
    microphone["phantom"] = Phantom.HARMFUL
    imported.imported.save()

    page = words(browser.get(imported.get_absolute_url()))
    answer = browser.post(
        url("tick", step_at(imported, 2)), {"key": "48-v", "seen": 0, "value": "", "as_logged": 1}
    )

    assert "48 V from here can damage" in page
    assert 'Set as logged<span class="visually-hidden">: 48 V on' not in page
    assert answer.status_code == 422
    assert not Tick.objects.exists()


def test_one_switch_of_a_hired_preamplifier_serves_the_ribbon_of_another_chain(browser, imported):
    """[M-01 needs 48 V] -- [hired P-01/1]      [ribbon] -- [hired P-01/2]: one switch for four inputs"""
    first = imported.imported.data["chains"][0]
    second = deepcopy(first) | {"place": 2}
    for chain, channel in ((first, 1), (second, 2)):
        chain["stages"][1]["unit"] |= {
            "channel": channel,
            "channels": 8,
            "inputs_per_phantom_switch": 4,
        }
    second["stages"][0]["unit"]["model"] |= {"name": "Ribbon", "phantom": Phantom.HARMFUL}
    imported.imported.data["chains"] = [first, second]
    imported.imported.save()
    browser.post(
        reverse("rebuild:start_imported", args=[imported.imported.pk]), {"chains": ["1", "2"]}
    )
    both = Rebuild.objects.exclude(pk=imported.pk).get()

    switches = [chain.stages[1].controls[0] for chain in checklist_of(both).chains]

    assert [(each.wanted, each.button) for each in switches] == [(0, "leave_off")] * 2
    assert "then switch phantom power on" not in words(browser.get(both.get_absolute_url()))
    browser.post(
        url("take_over", both.steps.get(chain_number=1, position=2)),
        {"asset_tag": "P-77", "serial_number": "", "seen": 1},
    )
    model = GearModel.objects.get(name="Stile 1")
    assert (model.channels, model.phantom_bank) == (8, 4)


def test_what_is_long_in_a_file_has_room_where_it_is_kept(browser, imported, engineer):
    """A key of 40 letters is ticked, and words of 300 are cut as the rebuild becomes a setup."""
    chain = imported.imported.data["chains"][0]
    control = chain["stages"][1]["panel"]["controls"][1]
    chain["stages"][1]["settings"]["g" * 40] = chain["stages"][1]["settings"].pop(control["key"])
    control["key"] = "g" * 40
    chain["placement"] |= dict.fromkeys(("pattern", "stand", "cable"), "x" * 300)
    imported.imported.save()
    tick_control(step_at(imported, 2), key="g" * 40, value=36, seen=0, by=engineer)

    sent = {"rooms": RoomFactory().pk, "starts_at": "2030-06-01T10:00"}
    browser.post(url("finish_asked", imported), sent | {"ends_at": "2030-06-01T12:00"})

    placed = Setup.objects.get().chains.get().newest_revision().placement
    assert placed.cable == placed.stand == "x" * 40


def test_finished_it_is_no_stage_and_the_report_keeps_its_values(browser, imported, engineer):
    tick_control(step_at(imported, 2), key="gain", value=36, seen=0, by=engineer)
    page = words(browser.get(url("finish", imported)))
    assert "a setup is made of units of the gear" in page

    sent = {
        "rooms": RoomFactory().pk,
        "starts_at": "2030-06-01T10:00",
        "ends_at": "2030-06-01T12:00",
    }
    browser.post(url("finish_asked", imported), sent)

    chain = Setup.objects.get().chains.get()
    assert not chain.newest_revision().stages.exists()
    assert "Stile 1 (not in the gear: P-01)" in chain.newest_revision().note
    assert "36 dB" in words(browser.get(url("report", imported)))
