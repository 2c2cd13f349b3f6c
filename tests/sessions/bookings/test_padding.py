"""Load-in, warm-up and teardown: the padded period is what clashes."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from gear.editing.versions import EditedMeanwhile
from sessions.bookings.actions import book_session, change_session, set_padding, set_status
from sessions.bookings.clashes import ClashError
from sessions.bookings.models import Reservation, Status
from sessions.bookings.outside_hours import OutsideHoursError
from sessions.bookings.padding import Padding, usual_padding
from tests.factories import (
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
    WeeklyHoursFactory,
)
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db


@pytest.fixture
def room(db):
    return RoomFactory(name="Bread Room")


def taken(session):
    return {
        each.resource: (each.rank, each.starts_at, each.ends_at)
        for each in session.reservations.for_list()
    }


def test_book_session_gives_each_its_own_minutes(room, manager):
    person, unit = PersonFactory(bookable=True), UnitFactory()

    session = booked(
        manager,
        rooms=[room],
        people=[person],
        units=[unit],
        padding={room: Padding(60, 30), person: Padding(0, 15)},
    )

    assert taken(session) == {
        room: (1, *hours(9, 14.5)),
        person: (1, *hours(10, 14.25)),
        unit: (1, *hours(10, 14)),
    }
    assert (session.starts_at, session.ends_at) == hours(10, 14)
    reservation = session.reservations.get(room=room)
    assert (reservation.before_minutes, reservation.after_minutes) == (60, 30)


def test_unit_is_taken_for_the_warm_up_time_of_its_model(room, manager):
    unit = UnitFactory(model__warm_up_minutes=45)

    session = booked(manager, rooms=[room], units=[unit])

    assert taken(session)[unit] == (1, *hours(9.25, 14))
    assert usual_padding(unit) == Padding(45, 0)
    assert usual_padding(room) == Padding(0, 0)


def test_padding_clashes_and_touching_padding_does_not(room, manager):
    booked(manager, rooms=[room], padding={room: Padding(0, 60)})

    with pytest.raises(ClashError) as refused:
        booked(manager, start=16, end=18, rooms=[room], padding={room: Padding(90, 0)})
    booked(manager, start=16, end=18, rooms=[room], padding={room: Padding(60, 0)})

    [clash] = refused.value.clashes
    assert (clash.starts_at, clash.ends_at) == hours(14.5, 15)


def test_padding_queues_behind_padding(room, manager):
    booked(manager, rooms=[room], padding={room: Padding(0, 60)})
    other = RoomFactory()

    second = booked(
        manager,
        start=15,
        end=18,
        rooms=[room, other],
        queue_behind=True,
        padding={room: Padding(30, 0)},
    )

    assert taken(second) == {room: (2, *hours(14.5, 18)), other: (1, *hours(15, 18))}


def test_change_session_keeps_the_minutes_and_a_new_one_has_the_usual(room, manager):
    unit = UnitFactory(model__warm_up_minutes=30)
    session = booked(manager, rooms=[room], padding={room: Padding(60, 30)})
    starts_at, ends_at = hours(11, 15)

    change_session(
        session,
        version=1,
        project=session.project,
        title=session.title,
        starts_at=starts_at,
        ends_at=ends_at,
        rooms=[room],
        units=[unit],
        by=manager,
    )

    assert taken(session) == {room: (1, *hours(10, 15.5)), unit: (1, *hours(10.5, 15))}


def test_set_padding_grows_into_free_time_only(room, manager):
    session = booked(manager, rooms=[room])
    booked(manager, start=15, end=18, rooms=[room])

    set_padding(session, version=1, padding={room: Padding(15, 60)}, by=manager)
    with pytest.raises(ClashError):
        set_padding(session, version=2, padding={room: Padding(15, 61)}, by=manager)

    assert taken(session) == {room: (1, *hours(9.75, 15))}
    assert session.reservations.get().history.first().history_user == manager


def test_set_padding_that_shrinks_lets_those_behind_move_up(room, manager):
    first = booked(manager, rooms=[room], padding={room: Padding(0, 60)})
    second = booked(manager, start=14, end=16, rooms=[room], queue_behind=True)

    set_padding(first, version=1, padding={room: Padding()}, by=manager)

    assert taken(second)[room][0] == 1


def test_set_padding_leaves_alone_what_it_does_not_name(room, manager):
    other = RoomFactory()
    session = booked(
        manager, rooms=[room, other], padding={room: Padding(10, 10), other: Padding(20, 20)}
    )

    set_padding(session, version=1, padding={room: Padding(5, 5)}, by=manager)

    assert {each.room: each.padding for each in session.reservations.all()} == {
        room: Padding(5, 5),
        other: Padding(20, 20),
    }


def test_set_padding_second_editor_is_told(room, manager):
    session = booked(manager, rooms=[room])
    set_padding(session, version=1, padding={room: Padding(5, 5)}, by=manager)

    with pytest.raises(EditedMeanwhile):
        set_padding(session, version=1, padding={room: Padding(9, 9)}, by=manager)

    assert session.reservations.get().padding == Padding(5, 5)


def test_padding_counts_for_the_opening_hours(room, manager):
    """Open from 10:00 London, 09:00 UTC."""
    WeeklyHoursFactory(room=room)
    session = booked(manager, rooms=[room], start=9, end=12)

    with pytest.raises(OutsideHoursError, match="Bread Room is closed"):
        set_padding(session, version=1, padding={room: Padding(30, 0)}, by=manager)
    set_padding(session, version=1, padding={room: Padding(30, 0)}, all_the_same=True, by=manager)
    set_padding(session, version=2, padding={room: Padding(20, 0)}, by=manager)

    assert session.reservations.get().padding == Padding(20, 0)


def test_status_steps_keep_the_minutes(room, manager):
    session = booked(manager, rooms=[room], padding={room: Padding(60, 0)})
    set_status(session, to=Status.ENQUIRY, by=manager)
    assert taken(session) == {room: (None, *hours(9, 14))}

    booked(manager, start=8, end=9.5, rooms=[room])
    with pytest.raises(ClashError):
        set_status(session, to=Status.HELD, by=manager)


@pytest.mark.parametrize(("month", "day", "length"), [(3, 28, 13), (10, 24, 15), (6, 6, 14)])
def test_padding_over_a_clock_change_is_elapsed_time(room, manager, month, day, length):
    """22:00 to 10:00 London is 11, 13 or 12 hours (tz database), and an hour on either side."""
    starts_at = datetime(2026, month, day, 22, tzinfo=ZoneInfo("Europe/London"))
    session = book_session(
        ProjectFactory(),
        title="Night",
        starts_at=starts_at,
        ends_at=starts_at + timedelta(hours=12),  # on the clock's face
        status=Status.HELD,
        rooms=[room],
        padding={room: Padding(60, 60)},
        by=manager,
    )

    reservation = session.reservations.get()
    reservation.refresh_from_db()
    assert reservation.ends_at - reservation.starts_at == timedelta(hours=length)


# The pages


def test_create_gives_the_rooms_their_minutes(client_of, manager, room, time_machine):
    time_machine.move_to(datetime(2026, 5, 25, 9, tzinfo=UTC))
    person = PersonFactory(bookable=True)

    client_of(manager).post(
        reverse("bookings:create"),
        {
            "project": ProjectFactory().pk,
            "title": "Group vocals",
            "starts_at": "2026-06-01T11:00",
            "ends_at": "2026-06-01T15:00",
            "status": "held",
            "rooms": [room.pk],
            "people": [person.pk],
            "load_in_minutes": "60",
            "teardown_minutes": "30",
        },
    )

    assert {each.resource: each.padding for each in Reservation.objects.for_list()} == {
        room: Padding(60, 30),
        person: Padding(),
    }


@pytest.fixture
def session(manager, room):
    return booked(manager, rooms=[room], units=[UnitFactory(model__warm_up_minutes=20)])


@pytest.fixture
def typed(session):
    """The page as it opens, with an hour before and half an hour after for the room."""
    room, unit = session.reservations.order_by("pk")
    return {
        "seen": "1",
        f"before_{room.pk}": "60",
        f"after_{room.pk}": "30",
        f"before_{unit.pk}": "20",
        f"after_{unit.pk}": "",
    }


def test_padding_page_opens_with_what_is_saved(client_of, manager, session):
    url = reverse("bookings:padding", args=[session.pk])

    form = client_of(manager).get(url).context["form"]

    assert [(b.value(), a.value()) for _, b, a in form.rows()] == [(0, 0), (20, 0)]


def test_padding_page_saves_each(client_of, manager, session, typed):
    response = client_of(manager).post(reverse("bookings:padding", args=[session.pk]), typed)

    assert response.url == session.get_absolute_url()
    assert [each.padding for each in session.reservations.order_by("pk")] == [
        Padding(60, 30),
        Padding(20, 0),
    ]
    page = client_of(manager).get(session.get_absolute_url()).text
    assert "60 min before, 30 min after" in page
    assert "20 min before" in page


def test_padding_page_names_the_clash_beside_the_side_it_is_on(
    client_of, manager, session, typed, room
):
    booked(manager, start=14, end=15, rooms=[room], title="In the way")

    response = client_of(manager).post(reverse("bookings:padding", args=[session.pk]), typed)

    form = response.context["form"]
    [field] = form.errors
    assert field.startswith("after_")
    assert "is taken by “In the way”" in form.errors[field][0]
    assert {name: form[name].value() for name in typed if name != "seen"} == {
        name: value for name, value in typed.items() if name != "seen"
    }


@pytest.mark.parametrize("minutes", ["-1", "1441", "an hour", "9" * 30])
def test_padding_page_refuses_minutes_that_cannot_be(client_of, manager, session, typed, minutes):
    name = list(typed)[1]

    response = client_of(manager).post(
        reverse("bookings:padding", args=[session.pk]), typed | {name: minutes}
    )

    form = response.context["form"]
    assert list(form.errors) == [name]
    assert form[name].value() == minutes
    assert session.reservations.order_by("pk").first().padding == Padding()


def test_padding_page_asks_for_a_tick_outside_hours(client_of, manager, session, typed, room):
    WeeklyHoursFactory(room=room, opens=time(11))
    url = reverse("bookings:padding", args=[session.pk])

    response = client_of(manager).post(url, typed)

    assert "Bread Room is closed: Mon 1 Jun 2026, 10:00 to 11:00" in response.text
    assert "Book anyway" in response.text
    assert client_of(manager).post(url, typed | {"all_the_same": "on"}).status_code == 302


def test_padding_page_of_a_second_editor_shows_both_versions(client_of, manager, session, typed):
    url = reverse("bookings:padding", args=[session.pk])
    client_of(manager).post(url, typed)

    response = client_of(manager).post(url, typed | {list(typed)[1]: "45"})

    assert response.status_code == 409
    assert response.context["meanwhile"].differences == [("Bread Room: minutes before", "60", "45")]
    assert response.context["seen"] == 2


def test_padding_counts_real_minutes_across_a_clock_change():
    """29 March 2026 in London: 02:30 summer time less an hour is 00:30 winter time, 00:30 UTC."""
    london = ZoneInfo("Europe/London")
    starts_at = datetime(2026, 3, 29, 2, 30, tzinfo=london)
    ends_at = datetime(2026, 3, 29, 6, tzinfo=london)

    before, after = Padding(60, 30).around(starts_at, ends_at)

    assert before == datetime(2026, 3, 29, 0, 30, tzinfo=UTC)
    assert after == datetime(2026, 3, 29, 5, 30, tzinfo=UTC)
