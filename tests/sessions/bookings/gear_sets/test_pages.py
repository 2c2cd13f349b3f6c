"""Gear sets: named, edited, listed."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from gear.equipment.models import UnitState
from sessions.bookings.models import GearSet
from tests.factories import GearSetFactory, UnitFactory

pytestmark = pytest.mark.django_db


def test_a_set_is_made_and_edited(client_of, manager):
    first, second = UnitFactory(), UnitFactory()
    client = client_of(manager)

    client.post(reverse("gear_sets:create"), {"name": "Brass line", "units": [first.pk]})

    gear_set = GearSet.objects.get()
    assert list(gear_set.units.all()) == [first]
    edited = {"name": "Brass line", "units": [second.pk], "note": "Stands too", "seen": "1"}
    assert client.post(gear_set.get_absolute_url(), edited).status_code == 302
    gear_set.refresh_from_db()
    assert (list(gear_set.units.all()), gear_set.note) == ([second], "Stands too")
    assert client.post(gear_set.get_absolute_url(), edited).status_code == 409  # a second editor
    assert gear_set.history.first().history_user == manager


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"name": "brass", "units": []}, "units", "Choose at least one unit."),
        ({"name": ""}, "name", "This field is required."),
        ({"name": "Piano"}, "name", "That name is taken, perhaps by a retired one"),
    ],
)
def test_what_is_wrong_stands_beside_its_field(client_of, manager, typed, field, said):
    GearSetFactory(name="Piano", retired=True)

    page = client_of(manager).post(
        reverse("gear_sets:create"), {"units": [UnitFactory().pk]} | typed
    )

    errors = page.context["form"].errors
    assert list(errors) == [field]
    assert errors[field][0].startswith(said)


def test_a_set_keeps_what_was_retired_since(client_of, manager):
    retired, other = UnitFactory(state=UnitState.RETIRED), UnitFactory(state=UnitState.RETIRED)
    gear_set = GearSetFactory(units=[retired])

    page = client_of(manager).get(gear_set.get_absolute_url())

    assert f'value="{retired.pk}" checked' in page.text
    assert other.asset_tag not in page.text


@pytest.mark.parametrize("number", [1, 3])
def test_list_costs_the_same_for_one_and_for_three(client_of, manager, number):
    for _ in range(number):
        GearSetFactory(units=[UnitFactory(), UnitFactory(state=UnitState.ON_THE_BENCH)])
    client = client_of(manager)
    client.get(reverse("gear_sets:list"))

    with CaptureQueriesContext(connection) as queries:
        page = client.get(reverse("gear_sets:list"))

    assert page.text.count("(on the bench)") == number
    assert len(queries) == 4
