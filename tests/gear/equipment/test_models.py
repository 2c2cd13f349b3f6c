import pytest
from django.core.exceptions import ValidationError

from gear.equipment.cautions import (
    GROUND_LIFT,
    HEADPHONES,
    HIGH_VOLTAGE,
    PHANTOM_HARMFUL,
    PHANTOM_NEEDED,
    cautions_for,
)
from gear.equipment.models import Category, FaultState, GearModel, Transducer, Unit, UnitState
from tests.factories import (
    FaultFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    UnitFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db


def valve_microphone(**facts):
    return MicrophoneModelFactory(
        **{"transducer": Transducer.VALVE, "own_supply": True, "phantom": "harmful"} | facts
    )


def supply(**facts):
    return UnitFactory(model=GearModelFactory(category=Category.SUPPLY), **facts)


@pytest.mark.parametrize("name", ["sensitivity_mv_pa", "max_spl_db", "output_impedance_ohm"])
@pytest.mark.parametrize("value", [0, -1])
def test_model_refuses_a_fact_that_is_not_above_zero(name, value):
    model = MicrophoneModelFactory.build(**{name: value})

    with pytest.raises(ValidationError) as refused:
        model.clean()

    assert list(refused.value.message_dict) == [name]


@pytest.mark.parametrize("name", ["max_input_dbu", "max_output_dbu"])
def test_model_refuses_a_limit_below_the_nominal_level(name):
    model = GearModelFactory.build(nominal_level_dbu=4, **{name: 3})

    with pytest.raises(ValidationError, match="below the nominal level") as refused:
        model.clean()

    assert list(refused.value.message_dict) == [name]


def test_model_refuses_a_transducer_of_what_is_no_microphone():
    model = GearModelFactory.build(transducer=Transducer.RIBBON)

    with pytest.raises(ValidationError, match="Only a microphone"):
        model.clean()


def test_model_with_plain_facts_is_accepted():
    model = MicrophoneModelFactory.build(nominal_level_dbu=4, max_output_dbu=4)

    model.clean()

    assert model.notices() == []


def test_model_notices_a_valve_microphone_without_supply():
    model = valve_microphone(own_supply=False)

    assert "its own supply" in model.notices()[0]
    assert model.needs_supply


def test_unit_refuses_a_supply_that_is_none():
    unit = UnitFactory.build(model=valve_microphone(), supply=UnitFactory())

    with pytest.raises(ValidationError, match="not a microphone supply"):
        unit.clean()


def test_unit_refuses_itself_as_supply():
    unit = supply()
    unit.supply = unit

    with pytest.raises(ValidationError, match="its own supply"):
        unit.clean()


def test_unit_with_its_supply_has_nothing_to_notice():
    unit = UnitFactory(model=valve_microphone(), supply=supply())

    unit.clean()

    assert unit.notices() == []


def test_unit_notices_a_supply_that_is_not_named():
    unit = UnitFactory(model=valve_microphone())

    assert "none is given" in unit.notices()[0]


def test_unit_notices_that_its_supply_is_away():
    unit = UnitFactory(model=valve_microphone(), supply=supply(state=UnitState.ON_THE_BENCH))

    assert unit.notices() == [f"Its supply {unit.supply} is {unit.supply.standing}."]
    assert unit.supply.standing.startswith("on the bench since ")


def test_unit_keeps_since_when_it_has_been_where_it_is():
    unit = UnitFactory(state=UnitState.ON_THE_BENCH)
    since = unit.state_since

    unit.note = "Waits for a part"
    unit.save(update_fields=["note"])
    unit.refresh_from_db()
    assert (unit.state_since, unit.why_not() == "") == (since, False)

    unit.state = UnitState.IN_SERVICE
    unit.save(update_fields=["state"])
    unit.refresh_from_db()
    assert unit.state_since > since
    assert (unit.standing, unit.why_not()) == ("in service", "")


@pytest.mark.parametrize("state", [UnitState.ON_THE_BENCH, UnitState.RETIRED])
def test_unit_notices_that_it_is_not_for_use(state):
    unit = UnitFactory(state=state, asset_tag="QS-7")

    assert unit.notices() == [f"QS-7 is {unit.standing}: do not use it."]


def test_supplies_are_those_not_retired():
    wanted = supply()
    supply(state=UnitState.RETIRED)
    UnitFactory()

    assert list(Unit.objects.supplies()) == [wanted]


def test_units_count_only_their_open_faults():
    unit = UnitFactory()
    by = UserFactory()
    FaultFactory(unit=unit, reported_by=by)
    FaultFactory(unit=unit, reported_by=by, state=FaultState.WORKED_ON)
    FaultFactory(
        unit=unit, reported_by=by, state=FaultState.CLOSED, closed_at="2026-06-01T10:00+00:00"
    )

    assert Unit.objects.with_open_faults().get().open_fault_count == 2
    assert unit.faults.open().count() == 2


def test_home_rooms_are_named_once_in_order():
    for room in ("Live room", "Control room", "", "Live room"):
        UnitFactory(home_room=room)

    assert list(Unit.objects.home_rooms()) == ["Control room", "Live room"]


@pytest.mark.parametrize(
    ("facts", "cautions"),
    [
        ({"category": "microphone", "transducer": "valve"}, [HIGH_VOLTAGE]),
        ({"category": "supply"}, [HIGH_VOLTAGE]),
        ({"category": "di_box", "own_supply": True}, [HIGH_VOLTAGE, GROUND_LIFT]),
        ({"category": "microphone", "phantom": "needed"}, [PHANTOM_NEEDED]),
        ({"category": "microphone", "phantom": "harmful"}, [PHANTOM_HARMFUL]),
        ({"category": "headphones"}, [HEADPHONES]),
        ({"category": "compressor"}, []),
    ],
)
def test_cautions_stand_where_someone_can_be_hurt(facts, cautions):
    assert cautions_for(GearModel(**facts)) == cautions


def test_high_voltage_caution_says_to_switch_off_first():
    assert HIGH_VOLTAGE.text.startswith("Switch the supply off and let it settle before its cable")
