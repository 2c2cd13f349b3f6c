"""The page of free time: what is asked, what is found, and the way to the booking."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from gear.equipment.models import UnitState
from sessions.bookings.models import RecordingSession
from tests.factories import (
    GearModelFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
    WeeklyHoursFactory,
)
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db


@pytest.fixture
def bread_room():
    return RoomFactory(name="Bread Room")


@pytest.fixture
def asked(bread_room):
    """Four hours in the Bread Room on Monday the first of June, by the clock in London."""
    return {
        "hours": "4",
        "since": "2026-06-01T08:00",
        "until": "2026-06-01T23:00",
        "rooms": [bread_room.pk],
        "count": "3",
    }


@pytest.fixture
def search(client_of, manager):
    web = client_of(manager)
    return lambda asked: web.get(reverse("free:search"), asked)


def test_search_opens_with_the_weeks_to_come_and_finds_nothing_yet(search):
    page = search({})

    assert page.context["found"] is None
    assert page.context["form"].errors == {}


def test_search_lists_the_earliest_periods(search, asked, bread_room, manager):
    booked(manager, start=11, end=14, rooms=[bread_room])  # 12:00 to 15:00 on the studio's clock

    page = search(asked)

    assert [(each.when, each.takes) for each in page.context["found"]] == [
        ("Mon 1 Jun 2026, 08:00 to 12:00", (bread_room,)),
        ("Mon 1 Jun 2026, 15:00 to 19:00", (bread_room,)),
        ("Mon 1 Jun 2026, 19:00 to 23:00", (bread_room,)),
    ]
    assert "The earliest 3 periods" in page.text


def test_search_keeps_to_the_opening_hours(search, asked, bread_room):
    WeeklyHoursFactory(room=bread_room)  # Monday 10:00 to 22:00

    assert [each.when for each in search(asked).context["found"]] == [
        "Mon 1 Jun 2026, 10:00 to 14:00",
        "Mon 1 Jun 2026, 14:00 to 18:00",
        "Mon 1 Jun 2026, 18:00 to 22:00",
    ]


def test_search_takes_any_one_of_the_rooms_and_any_unit_of_a_model(
    search, asked, bread_room, manager
):
    loft = RoomFactory(name="Attic")  # the first by name of those that are free
    model = GearModelFactory()
    first, second = UnitFactory(model=model), UnitFactory(model=model)
    UnitFactory(model=model, state=UnitState.ON_THE_BENCH)
    person = PersonFactory(bookable=True)
    booked(manager, start=7, end=11, rooms=[loft], units=[first])
    asked |= {"rooms": [bread_room.pk, loft.pk], "any_room": "on", "people": [person.pk]}

    found = search(asked | {"models": [model.pk], "count": 2}).context["found"]

    assert [each.takes for each in found] == [(bread_room, person, second), (loft, person, first)]


def test_unit_named_by_itself_does_not_stand_for_another_of_its_model(search, asked):
    model = GearModelFactory()
    named, other = UnitFactory(model=model), UnitFactory(model=model)
    asked |= {"units": [named.pk], "models": [model.pk], "count": 1}

    [found] = search(asked).context["found"]

    assert found.takes[1:] == (named, other)


def test_search_for_more_units_of_a_model_than_are_in_service_says_so(search, asked):
    unit = UnitFactory()

    page = search(asked | {"units": [unit.pk], "models": [unit.model.pk]})

    assert "No further unit of" in page.context["form"].errors["models"][0]
    assert page.context["found"] is None


def test_booking_from_a_period_opens_the_form_with_all_of_it(
    search, asked, bread_room, client_of, manager
):
    project, person, unit = ProjectFactory(), PersonFactory(bookable=True), UnitFactory()
    asked |= {"people": [person.pk], "units": [unit.pk], "project": project.pk}
    [found, *_] = search(asked | {"load_in_minutes": "30"}).context["found"]

    page = client_of(manager).get(found.address)
    form = page.context["form"]
    typed = {name: form[name].value() for name in form.fields} | {
        "title": "Group vocals",
        "starts_at": "2027-06-01T08:00",  # a day still to come when this test runs
        "ends_at": "2027-06-01T12:00",
    }
    typed = {name: value for name, value in typed.items() if value not in (None, False)}

    assert 'value="2026-06-01T08:00"' in page.text
    assert 'value="2026-06-01T12:00"' in page.text
    client_of(manager).post(reverse("bookings:create"), typed)
    session = RecordingSession.objects.get()
    assert session.project == project
    assert {(each.resource, each.before_minutes) for each in session.reservations.all()} == {
        (bread_room, 30),
        (person, 0),
        (unit, 0),
    }


def test_nothing_found_says_what_to_do(search, asked, bread_room, manager):
    booked(manager, start=0, end=24, rooms=[bread_room])

    page = search(asked)

    assert page.context["found"] == []
    assert "At no time are all of these free" in page.text


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("hours", "", "This field is required."),
        ("hours", "four", "Enter hours as a number"),
        ("hours", "0", "A session is at least a quarter of an hour."),
        ("hours", "NaN", "Enter hours as a number"),
        ("hours", "745", "A session is at most 31 days long"),
        ("since", "2026-03-29T01:30", "There is no 01:30 on Sun 29 Mar 2026"),
        ("since", "0001-01-01T00:00", "Check the year"),
        ("until", "2026-06-01T08:00", "The end must be after the start."),
        ("until", "2027-06-03T08:00", "Search a year at most."),
        ("until", "2026-06-01T11:59", "The session does not fit into this period."),
        ("rooms", [], "Choose at least one room, person or unit"),
        ("rooms", ["0"], "Select a valid choice."),
        ("count", "51", "Ensure this value is less than or equal to 50."),
        ("load_in_minutes", "-5", "Enter 0 minutes or more."),
        ("project", "x", "Select a valid choice."),
    ],
)
def test_search_names_what_is_wrong_beside_the_field(search, asked, field, typed, sentence):
    page = search(asked | {field: typed})

    errors = page.context["form"].errors
    assert list(errors) == [field]
    assert errors[field][0].startswith(sentence)
    assert page.context["found"] is None
    assert page.context["form"]["count"].value() == ("51" if field == "count" else "3")


@pytest.mark.parametrize("number", [1, 3])
def test_search_costs_the_same_for_one_room_and_for_three(search, asked, number, manager):
    rooms = [RoomFactory() for _ in range(number)]
    units = [UnitFactory() for _ in range(number)]
    for room, unit in zip(rooms, units, strict=True):
        booked(manager, rooms=[room], units=[unit])
        WeeklyHoursFactory(room=room)
    asked |= {
        "rooms": [room.pk for room in rooms],
        "units": [unit.pk for unit in units[:1]],
        "models": [UnitFactory().model.pk for _ in range(number)],
        "hours": "1",
        "count": number,
    }
    search(asked)  # signs in

    with CaptureQueriesContext(connection) as queries:
        page = search(asked)

    assert len(page.context["found"]) == number
    assert len(queries) == 13


def test_assistant_may_look_and_is_offered_no_booking(client_of, assistant, asked):
    page = client_of(assistant).get(reverse("free:search"), asked)

    assert len(page.context["found"]) == 3
    assert reverse("bookings:create") not in page.text
