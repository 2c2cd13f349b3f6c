import pytest

from gear.equipment.actions import report_fault, work_on_fault
from gear.equipment.models import FaultState, UnitState
from tests.factories import FaultFactory, UnitFactory

pytestmark = pytest.mark.django_db


def work(fault, **facts):
    work_on_fault(
        fault,
        version=fault.version,
        **{"description": fault.description, "remedy": "", "state": fault.state} | facts,
    )
    fault.refresh_from_db()


def test_report_leaves_the_unit_in_service(engineer):
    unit = UnitFactory()

    fault = report_fault(unit, description="Hums", by=engineer)

    unit.refresh_from_db()
    assert (fault.state, fault.reported_by, unit.state) == ("open", engineer, UnitState.IN_SERVICE)


def test_report_puts_the_unit_on_the_bench_in_one_step(engineer):
    unit = UnitFactory()

    report_fault(unit, description="Hums", by=engineer, to_bench=True)

    unit.refresh_from_db()
    assert unit.state == UnitState.ON_THE_BENCH
    assert unit.history.first().history_user == engineer


def test_closing_notes_the_time_and_puts_the_unit_back(engineer):
    fault = FaultFactory(unit__state=UnitState.ON_THE_BENCH)

    work(
        fault,
        state=FaultState.CLOSED,
        remedy="New valve",
        put=UnitState.IN_SERVICE,
        by=engineer,
    )

    fault.unit.refresh_from_db()
    assert fault.closed_at is not None
    assert fault.remedy == "New valve"
    assert fault.unit.state == UnitState.IN_SERVICE
    assert fault.history.first().history_user == engineer


def test_closed_fault_keeps_its_time_when_it_is_edited(engineer):
    fault = FaultFactory()
    work(fault, state=FaultState.CLOSED, remedy="New valve", by=engineer)
    closed_at = fault.closed_at

    work(fault, state=FaultState.CLOSED, remedy="New valve and socket", by=engineer)

    assert fault.closed_at == closed_at


def test_reopening_takes_the_time_away(engineer):
    fault = FaultFactory()
    work(fault, state=FaultState.CLOSED, remedy="New valve", by=engineer)

    work(fault, state=FaultState.WORKED_ON, remedy="New valve", by=engineer)

    assert (fault.state, fault.closed_at) == (FaultState.WORKED_ON, None)


def test_work_leaves_the_unit_where_it_is(engineer):
    fault = FaultFactory(unit__state=UnitState.RETIRED)

    work(fault, state=FaultState.WORKED_ON, by=engineer)

    fault.unit.refresh_from_db()
    assert fault.unit.state == UnitState.RETIRED
