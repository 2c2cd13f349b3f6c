"""48 V in a rebuild, over all pairs of logged microphone and the one that stands in for it.

P48 by IEC 61938; that it can damage a unit is asked of today's record, and nothing on a page goes
against that, whatever was logged.
"""

import re
from itertools import product

import pytest
from django.urls import reverse

from gear.equipment.models import Phantom, Transducer
from sessions.recall.models import RebuildStep, Tick
from sessions.recall.rebuilds.actions import Harmful, choose_unit, tick_control
from sessions.recall.rebuilds.cautions import cautions_of
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.in_use import in_use_at
from sessions.recall.rebuilds.no_signal import no_signal_in
from sessions.recall.rebuilds.phantom import harmed_in, lines_of, steps_with_units
from sessions.recall.rebuilds.report import rebuild_report
from sessions.setups.models import Stage
from tests.factories import MicrophoneModelFactory, PartFactory, UnitFactory
from tests.sessions.recall.rebuilds.vocal import recorded_vocal, started, step_at

pytestmark = pytest.mark.django_db

ON, OFF, NOT_LOGGED = 1, 0, None
PAIRS = list(product(Phantom.values, Phantom.values))
ALL = pytest.mark.parametrize(
    ("logged", "substitute", "switch"), [(*pair, at) for pair in PAIRS for at in (ON, OFF, None)]
)


def rebuilt_with(logged, substitute, switch, by):
    """[M-01 or what stands in for it] -- [P-01: 48 V as logged] --> Ld Vox"""
    settings = {"gain": 35} | ({} if switch is NOT_LOGGED else {"48-v": switch})
    revision = recorded_vocal(phantom=logged, settings=settings)
    rebuild = started(revision, by)
    step = step_at(rebuild, 1)
    unit = UnitFactory(model=MicrophoneModelFactory(phantom=substitute), asset_tag="M-09")
    choose_unit(step, unit=unit, seen=step.version, by=by)
    return rebuild


def phantom_switch(rebuild):
    return next(
        line for line in checklist_of(rebuild).stages[1].controls if line.control.key == "48-v"
    )


def page_of(rebuild, client_of, by):
    return " ".join(client_of(by).get(rebuild.get_absolute_url()).content.decode().split())


def press(rebuild, client_of, by, **typed):
    address = reverse("rebuild:tick", args=[step_at(rebuild, 2).pk])
    return client_of(by).post(address, {"key": "48-v", "seen": 0, "value": ""} | typed)


@ALL
def test_nothing_asks_for_phantom_power_where_it_harms(
    client_of, engineer, logged, substitute, switch
):
    rebuild = rebuilt_with(logged, substitute, switch, engineer)

    line, text = phantom_switch(rebuild), page_of(rebuild, client_of, engineer)
    titles = [found.caution.text for found in cautions_of(checklist_of(rebuild))]

    if substitute == Phantom.HARMFUL:
        assert line.wanted == OFF
        assert "48 V from here can damage" in text
        assert not any("switch phantom power on" in caution for caution in titles)
        assert "switch phantom power on" not in text
        assert re.findall(r"Set as logged<span[^>]*>: 48 V on", text) == []
    else:
        is_needed = substitute == Phantom.NEEDED
        assert line.wanted == (ON if is_needed else switch)
        assert "can damage" not in text
        turned_on = is_needed or switch == ON
        assert any("then switch phantom power on" in caution for caution in titles) == turned_on
        assert ("needs 48 V: plug the cable in first" in text) == (is_needed and switch != ON)
        buttons = re.findall(r"(Set as logged|Switch on)<span[^>]*>: 48 V (\w+)<", text)
        as_logged = {ON: [("Set as logged", "on")], OFF: [("Set as logged", "off")], NOT_LOGGED: []}
        assert buttons == (
            [("Switch on", "on")] if is_needed and switch != ON else as_logged[switch]
        )


@ALL
def test_button_of_a_page_that_was_open_before_sets_nothing_that_harms(
    client_of, engineer, logged, substitute, switch
):
    """“As logged” was pressed after the other unit was chosen."""
    rebuild = rebuilt_with(logged, substitute, switch, engineer)

    press(rebuild, client_of, engineer, as_logged=1)

    ticked = list(Tick.objects.values_list("value", flat=True))
    expected = [] if switch == ON and substitute == Phantom.HARMFUL else [switch]
    assert ticked == expected


@pytest.mark.parametrize("substitute", Phantom.values)
def test_action_itself_refuses_what_harms_and_saves_nothing(engineer, substitute):
    rebuild = rebuilt_with(Phantom.NEEDED, substitute, ON, engineer)

    if substitute != Phantom.HARMFUL:
        tick_control(step_at(rebuild, 2), key="48-v", value=ON, seen=0, by=engineer)
        assert Tick.objects.get().value == ON
        return
    with pytest.raises(Harmful, match=r"can damage .* leave it off, or choose another unit"):
        tick_control(step_at(rebuild, 2), key="48-v", value=ON, seen=0, by=engineer)
    assert not Tick.objects.exists()


def test_button_saves_nothing_that_harms_however_often_it_is_pressed(client_of, engineer):
    rebuild = rebuilt_with(Phantom.NEEDED, Phantom.HARMFUL, ON, engineer)

    for button in ("as_logged", "switch_on"):
        answer = press(rebuild, client_of, engineer, is_sure=1, **{button: 1})
        assert answer.status_code == 422
        assert "Choose another unit" in answer.content.decode()
    assert not Tick.objects.exists()


@pytest.mark.parametrize("substitute", Phantom.values)
def test_that_it_is_on_is_saved_where_it_harms_only_when_said_twice(
    client_of, engineer, substitute
):
    rebuild = rebuilt_with(Phantom.NEEDED, substitute, ON, engineer)

    first = press(rebuild, client_of, engineer, value="on")
    asked = substitute == Phantom.HARMFUL
    assert first.status_code == (422 if asked else 302)
    assert Tick.objects.exists() != asked
    if asked:
        assert 'name="is_sure" value="1"' in first.content.decode()
        press(rebuild, client_of, engineer, value="on", is_sure=1)
    assert Tick.objects.get().value == ON


def test_what_cannot_be_read_is_not_said_once(client_of, engineer):
    """A slip of the hand before “on” is no answer to what was not asked yet."""
    rebuild = rebuilt_with(Phantom.NEEDED, Phantom.HARMFUL, ON, engineer)

    slip = press(rebuild, client_of, engineer, value="om")

    assert slip.status_code == 422
    assert 'name="is_sure"' not in slip.content.decode()


@pytest.mark.parametrize("switch", [ON, OFF, NOT_LOGGED])
def test_left_off_is_one_press_and_stands_in_the_report(client_of, engineer, switch):
    rebuild = rebuilt_with(Phantom.NEEDED, Phantom.HARMFUL, switch, engineer)

    press(rebuild, client_of, engineer, leave_off=1)

    assert Tick.objects.get().value == OFF
    stage = rebuild_report(checklist_of(rebuild)).chains[0].stages[1]
    words = {each.label: (each.logged, each.set_to, each.words) for each in stage.differences}
    expected = {
        ON: ("on", "off", "left off"),
        OFF: None,  # as it was logged
        NOT_LOGGED: ("not logged", "off", "set by ear"),
    }
    assert words.get("48 V") == expected[switch]


def test_switch_that_was_set_on_before_is_told_to_go_off(client_of, engineer):
    rebuild = rebuilt_with(Phantom.NEEDED, Phantom.NEEDED, ON, engineer)
    tick_control(step_at(rebuild, 2), key="48-v", value=ON, seen=0, by=engineer)
    ribbon = UnitFactory(model=MicrophoneModelFactory(phantom=Phantom.HARMFUL), asset_tag="M-10")
    step = step_at(rebuild, 1)
    choose_unit(step, unit=ribbon, seen=step.version, by=engineer)

    assert phantom_switch(rebuild).is_off  # out of tolerance: off is wanted
    assert "If it is on, switch it off and let it die away" in page_of(rebuild, client_of, engineer)
    [report] = rebuild_report(checklist_of(rebuild)).chains
    [difference] = [each for each in report.stages[1].differences if each.label == "48 V"]
    assert not difference.within


def test_passive_ribbon_is_kept_off_it_whatever_its_entry_says(client_of, engineer):
    rebuild = rebuilt_with(Phantom.NEEDED, Phantom.NEEDED, ON, engineer)
    model = step_at(rebuild, 1).unit.model
    model.transducer = Transducer.RIBBON
    model.save()

    assert phantom_switch(rebuild).wanted == OFF
    assert "switch phantom power on" not in page_of(rebuild, client_of, engineer)


def test_preamplifier_in_place_of_another_is_asked_the_same(client_of, engineer):
    """The switch stands on a substitute, too: the microphone that it feeds decides."""
    rebuild = rebuilt_with(Phantom.NEEDED, Phantom.HARMFUL, ON, engineer)
    step = step_at(rebuild, 2)
    twin = UnitFactory(model=step.unit.model, asset_tag="P-02")
    choose_unit(step, unit=twin, seen=step.version, by=engineer)

    assert phantom_switch(rebuild).wanted == OFF


def test_units_page_says_what_phantom_power_can_damage(client_of, engineer):
    rebuild = rebuilt_with(Phantom.NEEDED, Phantom.HARMFUL, ON, engineer)

    page = client_of(engineer).get(reverse("rebuild:units", args=[rebuild.pk]))

    assert "(M-09): 48 V can damage it" in " ".join(page.content.decode().split())


@pytest.mark.parametrize(("logged", "today"), PAIRS)
def test_recall_sheet_asks_for_none_where_todays_record_says_that_it_harms(
    client_of, engineer, logged, today
):
    revision = recorded_vocal(phantom=logged)
    model = Stage.objects.get(revision=revision, position=1).unit.model
    model.phantom = today
    model.save()

    page = client_of(engineer).get(
        reverse("recall:song", args=[revision.chain.parts.get().song_id])
    )

    asks = "switch phantom power on" in " ".join(page.content.decode().split())
    assert asks == (today != Phantom.HARMFUL)


def test_switch_of_several_inputs_is_asked_for_all_of_them(engineer):
    """[M-01 condenser] -- [P-01/1 48 V on]      [M-02 ribbon] -- [P-01/2]: one switch for four"""
    condenser = recorded_vocal(phantom=Phantom.NEEDED, settings={"48-v": ON})
    pre = condenser.stages.get(position=2).unit
    type(pre.model).objects.filter(pk=pre.model_id).update(channels=8, phantom_bank=4)
    rebuild = started(condenser, engineer)
    step = step_at(rebuild, 2)
    RebuildStep.objects.filter(pk=step.pk).update(channel=1)
    ribbon = UnitFactory(model=MicrophoneModelFactory(phantom=Phantom.HARMFUL), asset_tag="M-02")
    for position, unit, channel in ((1, ribbon, None), (2, pre, 2)):
        RebuildStep.objects.create(
            rebuild=rebuild, chain_number=2, position=position, unit=unit, channel=channel
        )

    assert _harmed_in_first(rebuild) == (ribbon,)
    RebuildStep.objects.filter(chain_number=2, position=2).update(channel=5)
    assert _harmed_in_first(rebuild) == ()


def test_one_that_needs_it_and_one_that_it_harms_at_one_switch_are_said_first(engineer):
    """[M-11 condenser] -- [P-11/1]      [M-09 ribbon] -- [P-11/2]: one switch for four"""
    condenser = recorded_vocal(phantom=Phantom.NEEDED, settings={"48-v": ON})
    pre = condenser.stages.get(position=2).unit
    type(pre.model).objects.filter(pk=pre.model_id).update(channels=8, phantom_bank=4)
    for stage, tag in zip(condenser.stages.all(), ("M-11", "P-11"), strict=True):
        type(pre).objects.filter(pk=stage.unit_id).update(asset_tag=tag)
    pre.refresh_from_db()
    song = condenser.chain.parts.get().song
    other = recorded_vocal(part=PartFactory(song=song), preamplifier={"name": "Stile 2"})
    rebuild = started(other, engineer)
    ribbon = UnitFactory(model=MicrophoneModelFactory(phantom=Phantom.HARMFUL), asset_tag="M-09")
    for chain_number, unit in ((1, None), (2, ribbon)):
        at_input = rebuild.steps.filter(chain_number=chain_number, position=2)
        at_input.update(unit=pre, channel=chain_number)
        if unit:
            rebuild.steps.filter(chain_number=2, position=1).update(unit=unit)

    said = [reason for each in no_signal_in(checklist_of(rebuild)) for reason in each.reasons]
    assert [reason for reason in said if "needs 48 V, and 48 V from here can damage" in reason]
    about = " ".join(each.about for each in cautions_of(checklist_of(rebuild)))
    assert "P-11/1)" in about
    rebuild.steps.filter(chain_number=2, position=2).update(channel=5)
    said = [reason for each in no_signal_in(checklist_of(rebuild)) for reason in each.reasons]
    assert not [reason for reason in said if "can damage" in reason]


def test_checklist_says_how_much_less_gain_a_more_sensitive_microphone_wants(client_of, engineer):
    """20 mV/Pa in place of 10: 20 log 2 = 6.0 dB, and the gain is still the logged one"""
    rebuild = started(recorded_vocal(microphone={"sensitivity_mv_pa": 10}), engineer)
    model = MicrophoneModelFactory(phantom=Phantom.NEEDED, sensitivity_mv_pa=20)
    step = step_at(rebuild, 1)
    choose_unit(step, unit=UnitFactory(model=model), seen=step.version, by=engineer)
    assert "6.0 dB more sensitive: set as much less gain" in page_of(rebuild, client_of, engineer)


def _harmed_in_first(rebuild):
    steps = list(steps_with_units(rebuild))
    return harmed_in(1, lines_of(steps, in_use_at(steps)))
