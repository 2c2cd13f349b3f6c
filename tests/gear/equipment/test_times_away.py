import pytest
from django.urls import reverse

from gear.equipment.actions import report_fault, work_on_fault
from gear.equipment.models import UnitState
from gear.equipment.times_away import times_away
from tests.factories import GearModelFactory, ReservationFactory, UnitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(engineer):
    """To the bench by the engineer and back, then relabelled and saved once more unchanged."""
    unit = UnitFactory(asset_tag="QS-1", model__name="Wrackline 12")
    fault = report_fault(unit, description="Hums", by=engineer, to_bench=True)
    work_on_fault(
        fault,
        version=1,
        description="Hums",
        state="closed",
        remedy="Earthed",
        by=engineer,
        put="in_service",
    )
    unit.refresh_from_db()
    unit._history_user = engineer
    unit.asset_tag, unit.model, unit.note = "QS-9", GearModelFactory(name="Wrackline 14"), "New"
    unit.save()
    unit.save()
    return unit


def test_history_says_when_it_was_out_of_service(unit, django_assert_num_queries):
    with django_assert_num_queries(1):
        [bench] = times_away(unit)

    assert (bench.state, bench.who, bench.until > bench.since) == (
        "On the bench",
        "Ulric Yarrell",
        True,
    )

    unit.state = UnitState.RETIRED
    unit.save()
    retired, _ = times_away(unit)

    assert (retired.state, retired.until) == ("Retired", None)


def test_page_holds_all_of_it(client_of, engineer, unit):
    reservation = ReservationFactory(unit=unit, room=None)

    text = client_of(engineer).get(reverse("setups:for_unit", args=[unit.pk])).text
    text += client_of(engineer).get(reverse("changes:of", args=["unit", unit.pk])).text

    for said in (reservation.session.title, "Hums", "Earthed", "On the bench from ", "QS-1 → QS-9"):
        assert said in text
    for said in ("Model: Hobweir Wrackline 12 → Hobweir Wrackline 14", "Remedy: empty → Earthed"):
        assert said in text
