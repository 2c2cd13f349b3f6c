"""Common practice, no source: supplies off before cables move, phantom power off before patching."""

import pytest

from gear.equipment.models import Category, Phantom, Transducer
from gear.panels.models import Kind, Meaning
from sessions.setups.models import Orientation, Revision
from sessions.setups.warnings.cautions import beside_warnings, chain_cautions, setup_cautions
from tests.factories import (
    ControlFactory,
    MicrophoneModelFactory,
    PlacementFactory,
    RevisionFactory,
    StageFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db


def titles(revision):
    loaded = Revision.objects.with_stages().get(pk=revision.pk)
    return [each.caution.title for each in chain_cautions(loaded)]


def phantom_switch(revision, value):
    stage = StageFactory(revision=revision, settings={"48-v": value})
    marks = [
        {"value": 0, "angle": 0, "label": "off"},
        {"value": 1, "angle": 1, "label": "on"},
    ]
    ControlFactory(
        panel=stage.panel, key="48-v", kind=Kind.SWITCH, meaning=Meaning.PHANTOM, marks=marks
    )


def test_valve_microphone_and_supply_share_one_caution():
    revision = RevisionFactory()
    microphone = UnitFactory(
        model=MicrophoneModelFactory(
            transducer=Transducer.VALVE, own_supply=True, phantom=Phantom.HARMLESS
        )
    )
    supply = UnitFactory(model__category=Category.SUPPLY)
    StageFactory(revision=revision, unit=microphone)
    StageFactory(revision=revision, unit=supply)

    loaded = Revision.objects.with_stages().get(pk=revision.pk)
    (caution,) = chain_cautions(loaded)

    assert caution.caution.title == "high voltage"
    assert caution.about == f"{microphone}, {supply}"


@pytest.mark.parametrize("need", [Phantom.NEEDED, Phantom.HARMFUL])
def test_microphone_that_phantom_power_matters_to_is_warned_of(need):
    revision = RevisionFactory()
    StageFactory(revision=revision, unit__model=MicrophoneModelFactory(phantom=need))

    assert titles(revision) == ["phantom power"]


@pytest.mark.parametrize(("value", "expected"), [(1, ["phantom power"]), (0, []), (None, [])])
def test_phantom_power_that_was_on_is_warned_of(value, expected):
    revision = RevisionFactory()
    phantom_switch(revision, value)

    assert titles(revision) == expected


def test_hanging_microphone_is_warned_of():
    revision = RevisionFactory()
    PlacementFactory(revision=revision, orientation=Orientation.HUNG)

    assert titles(revision) == ["lifting"]


def test_harmless_chain_has_no_caution():
    revision = RevisionFactory()
    StageFactory(revision=revision)

    assert titles(revision) == []


def test_cautions_of_a_setup_come_once_with_all_that_give_cause():
    needed = MicrophoneModelFactory(phantom=Phantom.NEEDED)
    units = [UnitFactory(model=needed) for _ in range(2)]
    revisions = [StageFactory(unit=unit, panel=None).revision for unit in units]
    loaded = Revision.objects.with_stages().filter(pk__in=[each.pk for each in revisions])

    [phantom] = setup_cautions(loaded.order_by("pk"))

    assert phantom.about == f"{units[0]}, {units[1]}"


def test_page_with_warnings_does_not_say_high_voltage_and_hanging_twice():
    revision = RevisionFactory()
    PlacementFactory(revision=revision, orientation=Orientation.HUNG)
    StageFactory(revision=revision, unit__model__category=Category.SUPPLY)
    loaded = Revision.objects.with_stages().get(pk=revision.pk)

    assert titles(revision) == ["high voltage", "lifting"]
    assert beside_warnings(loaded) == []
