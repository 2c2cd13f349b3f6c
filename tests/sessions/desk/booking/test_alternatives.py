"""Alternatives to a clash: what is offered, and that nothing typed is lost on taking one."""

from urllib.parse import parse_qs

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from gear.equipment.models import UnitState
from sessions.bookings.actions import book_session
from sessions.bookings.blocks.actions import make_block
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.padding import Padding
from sessions.desk.booking.alternatives import alternatives
from tests.factories import (
    GearModelFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
    WeeklyHoursFactory,
)
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db
SPRING = hours(-1000, 0)[0]


@pytest.fixture(autouse=True)
def _in_spring():
    with time_machine.travel(SPRING, tick=False):
        yield


@pytest.fixture
def bread_room():
    return RoomFactory(name="Bread Room")


def ways_of(by, *, start=10, end=14, rooms=(), people=(), units=(), **further):
    """The alternatives to the refusal of that booking."""
    starts_at, ends_at = hours(start, end)
    asked = {
        "rooms": rooms,
        "people": people,
        "units": units,
        "starts_at": starts_at,
        "ends_at": ends_at,
    } | further
    with pytest.raises(BookingRefused) as refused:
        book_session(ProjectFactory(), title="Wish", status=Status.CONFIRMED, by=by, **asked)
    return alternatives(refused.value, **asked)


def sentences(ways):
    return [way.sentence for way in ways]


def test_ways_out_of_a_taken_room(manager, bread_room):
    """On the studio's clock 11:00 to 15:00 is wanted and 12:00 to 16:00 taken."""
    loft = RoomFactory(name="Rope Floor")
    RoomFactory(name="Old Store", retired=True)
    cellar = RoomFactory(name="Cellar")
    booked(manager, start=11, end=15, rooms=[bread_room])
    booked(manager, start=13, end=16, rooms=[cellar])

    ways = ways_of(manager, rooms=[bread_room])

    assert sentences(ways) == [
        "Rope Floor is free then: use it instead of Bread Room.",
        "Everything is free earlier: Mon 1 Jun 2026, 08:00 to 12:00.",
        "Everything is free later: Mon 1 Jun 2026, 16:00 to 20:00.",
    ]
    assert [parse_qs(way.take) for way in ways] == [
        {"rooms": [str(loft.pk)]},
        {"starts_at": ["2026-06-01T08:00"], "ends_at": ["2026-06-01T12:00"]},
        {"starts_at": ["2026-06-01T16:00"], "ends_at": ["2026-06-01T20:00"]},
    ]


def test_ways_out_of_a_taken_unit_are_free_units_of_its_model(manager, bread_room):
    model = GearModelFactory()
    taken, twin = UnitFactory(model=model), UnitFactory(model=model)
    UnitFactory(model=model, state=UnitState.ON_THE_BENCH), UnitFactory()
    also_asked, also_taken = UnitFactory(model=model), UnitFactory(model=model)
    booked(manager, units=[taken, also_taken])

    ways = ways_of(manager, rooms=[bread_room], units=[also_asked, taken])

    assert sentences(ways)[0] == f"{twin} is free then: use it instead of {taken}."
    assert parse_qs(ways[0].take) == {"units": [str(also_asked.pk), str(twin.pk)]}
    assert [way.take for way in ways if "units" in way.take] == [ways[0].take]


def test_ways_out_of_a_taken_person_are_those_who_do_the_same(manager, bread_room):
    taken = PersonFactory(name="Ulric Yarrell", does="Recording engineer", bookable=True)
    PersonFactory(name="Hesper Dunnage", does="recording engineer ", bookable=True)
    PersonFactory(name="Fiddler", does="Fiddle", bookable=True)
    PersonFactory(name="Not for hire", does="Recording engineer")
    away = PersonFactory(name="Away", does="Recording engineer", bookable=True)
    WeeklyHoursFactory(room=None, person=away, weekday=1)
    booked(manager, people=[taken])

    assert sentences(ways_of(manager, rooms=[bread_room], people=[taken]))[:-2] == [
        "Hesper Dunnage is free then: use it instead of Ulric Yarrell."
    ]


def test_somebody_of_whom_nothing_is_said_has_no_stand_in(manager, bread_room):
    taken = PersonFactory(bookable=True)
    PersonFactory(bookable=True)
    booked(manager, people=[taken])

    assert len(ways_of(manager, rooms=[bread_room], people=[taken])) == 2  # the two other times


def test_other_times_suit_everything_that_is_asked_for(manager, bread_room):
    """The room is free again at 14:00, the singer not before 18:00."""
    singer = PersonFactory(bookable=True)
    booked(manager, start=10, end=14, rooms=[bread_room])
    booked(manager, start=14, end=18, people=[singer])

    assert sentences(ways_of(manager, rooms=[bread_room], people=[singer]))[-2:] == [
        "Everything is free earlier: Mon 1 Jun 2026, 07:00 to 11:00.",
        "Everything is free later: Mon 1 Jun 2026, 19:00 to 23:00.",
    ]


def test_ways_out_keep_the_padding(manager, bread_room):
    loft = RoomFactory(name="Rope Floor")
    booked(manager, start=12, end=16, rooms=[bread_room])
    booked(manager, start=14, end=16, rooms=[loft])  # in the way of the teardown

    ways = ways_of(manager, rooms=[bread_room], padding={bread_room: Padding(before=60, after=30)})

    assert sentences(ways) == [
        "Everything is free earlier: Mon 1 Jun 2026, 08:30 to 12:30.",
        "Everything is free later: Mon 1 Jun 2026, 18:00 to 22:00.",
    ]


def test_ways_out_of_a_closed_room(manager, bread_room):
    """Monday 10:00 to 22:00 by the studio's clock; 21:00 to 01:00 is wanted."""
    WeeklyHoursFactory(room=bread_room)
    RoomFactory(name="Rope Floor")

    assert sentences(ways_of(manager, start=20, end=24, rooms=[bread_room])) == [
        "Rope Floor is free then: use it instead of Bread Room.",
        "Everything is free earlier: Mon 1 Jun 2026, 18:00 to 22:00.",
        "Everything is free later: Mon 8 Jun 2026, 10:00 to 14:00.",
    ]


def test_ways_out_of_a_lockout_pass_over_the_hours(manager, bread_room):
    """Three nights are longer than any day is open."""
    WeeklyHoursFactory(room=bread_room)
    booked(manager, start=11, end=15, rooms=[bread_room])
    starts_at, ends_at = hours(10, 82)
    asked = {
        "rooms": [bread_room],
        "people": [],
        "units": [],
        "starts_at": starts_at,
        "ends_at": ends_at,
    }
    with pytest.raises(BookingRefused) as refused:
        booked(manager, start=10, end=82, rooms=[bread_room], lockout=True)

    assert alternatives(refused.value, **asked) == []
    assert sentences(alternatives(refused.value, **asked, at_all_hours=True)) == [
        "Everything is free earlier: Fri 29 May 2026, 12:00 to Mon 1 Jun 2026, 12:00.",
        "Everything is free later: Mon 1 Jun 2026, 16:00 to Thu 4 Jun 2026, 16:00.",
    ]


def test_what_is_to_come_is_not_moved_into_the_past(manager, bread_room):
    booked(manager, start=11, end=15, rooms=[bread_room])

    with time_machine.travel(hours(9.1, 10)[0], tick=False):
        ways = ways_of(manager, rooms=[bread_room])

    assert sentences(ways) == ["Everything is free later: Mon 1 Jun 2026, 16:00 to 20:00."]


def test_clash_with_leave_offers_another_person_and_not_only_another_date(manager):
    """Somebody of a similar role, too, where nobody does quite the same."""
    away = PersonFactory(name="Ulric Yarrell", does="Recording engineer", bookable=True)
    PersonFactory(name="Piran Tolle", does="Assistant engineer", bookable=True)
    starts_at, ends_at = hours(9, 18)
    make_block(
        kind="leave", title="Away", starts_at=starts_at, ends_at=ends_at, people=[away], by=manager
    )

    found = ways_of(manager, rooms=[RoomFactory()], people=[away])

    assert sentences(found)[0] == "Piran Tolle is free then: use it instead of Ulric Yarrell."


@pytest.mark.parametrize(("number", "offered"), [(1, 1 + 1 + 2), (3, 9 + 9 + 2)])
def test_ways_out_cost_the_same_for_one_clash_and_for_three(manager, number, offered):
    rooms = [RoomFactory() for _ in range(number)]
    units = [UnitFactory() for _ in range(number)]
    people = [PersonFactory(bookable=True, does="Fiddle") for _ in range(number)]
    for room in rooms:
        RoomFactory(), PersonFactory(bookable=True, does="Fiddle")
        booked(manager, rooms=[room])
    booked(manager, people=people, units=units)
    starts_at, ends_at = hours(10, 14)
    asked = {"rooms": rooms, "people": people, "units": units}
    with pytest.raises(BookingRefused) as refused:
        booked(manager, **asked)

    with CaptureQueriesContext(connection) as queries:
        ways = alternatives(refused.value, **asked, starts_at=starts_at, ends_at=ends_at)

    assert len(ways) == offered
    assert len(queries) == 6


# On the form


@pytest.fixture
def wish(bread_room):
    return {
        "project": ProjectFactory().pk,
        "title": "Group vocals",
        "starts_at": "2026-06-01T11:00",
        "ends_at": "2026-06-01T15:00",
        "status": "held",
        "rooms": [bread_room.pk],
        "people": [PersonFactory(bookable=True).pk],
        "note": "Quiet\r\nplease",
    }


def test_refused_booking_offers_its_ways_out_as_buttons(client_of, manager, wish, bread_room):
    RoomFactory(name="Rope Floor")
    booked(manager, rooms=[bread_room])

    page = client_of(manager).post(reverse("bookings:create"), wish)

    assert "Rope Floor is free then: use it instead of Bread Room." in page.text
    for way in page.context["alternatives"]:
        assert f'name="take" value="{way.take.replace("&", "&amp;")}"' in page.text


def test_taken_way_out_changes_the_form_and_keeps_what_was_typed(
    client_of, manager, wish, bread_room
):
    loft = RoomFactory(name="Rope Floor")
    booked(manager, rooms=[bread_room])
    url = reverse("bookings:create")
    [swap, _, later] = client_of(manager).post(url, wish).context["alternatives"]

    page = client_of(manager).post(url, wish | {"title": "Typed since", "take": later.take})

    form = page.context["form"]
    assert form["title"].value() == "Typed since"
    assert form["note"].value() == wish["note"]
    assert form["ends_at"].value() == "2026-06-01T19:00"
    assert form["rooms"].value() == [str(bread_room.pk)]
    assert RecordingSession.objects.count() == 1, "it was booked without being asked to"

    page = client_of(manager).post(url, wish | {"take": swap.take})
    assert page.context["form"]["rooms"].value() == [str(loft.pk)]
    assert client_of(manager).post(url, wish | {"rooms": [loft.pk]}).status_code == 302


def test_way_out_that_nobody_offered_changes_no_other_field(client_of, manager, wish):
    page = client_of(manager).post(
        reverse("bookings:create"), wish | {"take": "title=Changed&status=confirmed&rooms=%zz"}
    )

    assert page.context["form"]["title"].value() == "Group vocals"
    assert page.context["form"]["status"].value() == "held"


def test_refused_change_offers_ways_out_too(client_of, manager, wish, bread_room):
    url = reverse("bookings:create")
    client_of(manager).post(url, wish)
    session = RecordingSession.objects.get()
    booked(manager, start=14, end=16, rooms=[bread_room])
    edited = wish | {"seen": "1", "ends_at": "2026-06-01T16:00"}
    url = reverse("bookings:edit", args=[session.pk])

    page = client_of(manager).post(url, edited)

    [earlier, later] = page.context["alternatives"]
    assert earlier.sentence == "Everything is free earlier: Mon 1 Jun 2026, 10:00 to 15:00."
    page = client_of(manager).post(url, edited | {"take": earlier.take})
    assert page.context["form"]["starts_at"].value() == "2026-06-01T10:00"
    assert page.context["seen"] == 1
    session.refresh_from_db()
    assert session.version == 1
