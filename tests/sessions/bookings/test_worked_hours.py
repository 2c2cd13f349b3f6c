"""Lockouts: rooms kept overnight, hours planned inside; sessions over days and midnight."""

from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from sessions.bookings.actions import change_session
from sessions.bookings.clashes import BookingRefused, ClashError
from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.bookings.outside_hours import OutsideHoursError
from sessions.bookings.worked_hours import outside_hours_of, take_out_hours, write_hours
from tests.factories import (
    PersonFactory,
    RecordingSessionFactory,
    RoomFactory,
    WeeklyHoursFactory,
    WorkedHoursFactory,
)
from tests.sessions.bookings.days import HOUR, booked, hours

pytestmark = pytest.mark.django_db
PLANNED, ACTUAL = WorkedHours.Kind
MONDAYS = {"weekday": 0, "opens": time(10), "closes": time(22)}


@pytest.fixture
def room(db):
    return RoomFactory(name="Bread Room")


@pytest.fixture
def lockout(manager, room):
    """From Monday 10:00 to Thursday 20:00 UTC, 11:00 to 21:00 in London."""
    return booked(manager, start=10, end=3 * 24 + 20, rooms=[room], lockout=True)


def plan(session, by, start, end, kind=PLANNED, **more):
    starts_at, ends_at = hours(start, end)
    return write_hours(session, kind=kind, starts_at=starts_at, ends_at=ends_at, by=by, **more)


def move(session, by, start, end, lockout=True):
    starts_at, ends_at = hours(start, end)
    return change_session(
        session,
        version=session.version,
        project=session.project,
        title=session.title,
        starts_at=starts_at,
        ends_at=ends_at,
        rooms=[each.room for each in session.reservations.for_list() if each.room],
        lockout=lockout,
        by=by,
    )


def planned(session):
    return [(each.starts_at, each.ends_at) for each in session.worked_hours.all()]


def test_lockout_keeps_the_room_overnight(lockout, room, manager):
    with pytest.raises(ClashError):
        booked(manager, start=24, end=26, rooms=[room])

    assert lockout.reservations.get().ends_at == lockout.ends_at
    assert RecordingSession.objects.get().lockout is True


def test_session_over_midnight_clashes_on_both_days(room, manager):
    booked(manager, start=22, end=28, rooms=[room])

    for start, end in [(22, 23), (23.5, 24.5), (27, 29)]:
        with pytest.raises(ClashError):
            booked(manager, start=start, end=end, rooms=[room])
    booked(manager, start=28, end=29, rooms=[room])


def test_lockout_is_not_asked_about_the_night(room, manager):
    WeeklyHoursFactory(room=room, **MONDAYS)

    with pytest.raises(OutsideHoursError):
        booked(manager, start=10, end=34, rooms=[room])
    lockout = booked(manager, start=10, end=34, rooms=[room], lockout=True)

    assert outside_hours_of(lockout) == []


def test_write_hours_plans_inside_the_lockout_to_its_very_ends(lockout, manager):
    plan(lockout, manager, 10, 20, note="Drums")
    plan(lockout, manager, 3 * 24 + 10, 3 * 24 + 20)

    first, last = lockout.worked_hours.all()
    assert (first.starts_at, last.ends_at) == (lockout.starts_at, lockout.ends_at)
    assert (first.kind, first.note) == (PLANNED, "Drums")
    assert first.history.get().history_user == manager


@pytest.mark.parametrize(
    ("start", "end", "field", "sentence"),
    [
        (9, 12, "starts_at", "begin before the session does"),
        (3 * 24 + 19, 3 * 24 + 21, "ends_at", "go on after the session ends"),
        (12, 12, "ends_at", "The end must be after the start."),
        (12, 11, "ends_at", "The end must be after the start."),
    ],
)
def test_write_hours_refuses_what_is_not_inside(lockout, manager, start, end, field, sentence):
    with pytest.raises(BookingRefused) as refused:
        plan(lockout, manager, start, end)

    assert list(refused.value.message_dict) == [field]
    assert sentence in refused.value.message_dict[field][0]
    assert not WorkedHours.objects.exists()


def test_write_hours_refuses_what_shares_time_and_lets_it_touch(lockout, manager):
    plan(lockout, manager, 10, 14)

    with pytest.raises(BookingRefused) as refused:
        plan(lockout, manager, 13, 15)
    plan(lockout, manager, 14, 15)

    assert refused.value.message_dict == {
        "starts_at": [
            "This overlaps with Mon 1 Jun 2026, 11:00 to 15:00. Edit or remove that first."
        ]
    }


def test_write_hours_plans_only_within_a_lockout(room, manager):
    session = booked(manager, rooms=[room])

    with pytest.raises(BookingRefused, match="need a lockout"):
        plan(session, manager, 10, 12)


def test_write_hours_that_were_worked_may_run_over_and_beside_planned_ones(lockout, manager, room):
    plan(lockout, manager, 10, 20)

    plan(lockout, manager, 9, 21, kind=ACTUAL)
    with pytest.raises(BookingRefused, match="overlaps"):
        plan(lockout, manager, 20, 22, kind=ACTUAL)

    assert lockout.worked_hours.filter(kind=ACTUAL).count() == 1


def test_write_hours_asks_about_people_who_are_off_work(room, manager):
    person = PersonFactory(name="Ulric Yarrell", bookable=True)
    WeeklyHoursFactory(room=None, person=person, **MONDAYS)
    lockout = booked(manager, start=10, end=92, rooms=[room], people=[person], lockout=True)

    with pytest.raises(OutsideHoursError, match="Ulric Yarrell is off"):
        plan(lockout, manager, 20, 22)
    plan(lockout, manager, 20, 22, all_the_same=True)
    plan(lockout, manager, 12, 20)

    [outside] = outside_hours_of(RecordingSession.objects.get())
    assert (outside.resource, outside.starts_at, outside.ends_at) == (person, *hours(21, 22))


def test_take_out_hours_leaves_a_trace(manager):
    worked = WorkedHoursFactory()

    take_out_hours(worked, by=manager)

    assert not WorkedHours.objects.exists()
    assert WorkedHours.history.filter(history_type="-").get().history_user == manager


def test_moved_as_a_whole_the_planned_hours_move_along(lockout, manager):
    plan(lockout, manager, 12, 18)

    move(lockout, manager, 34, 4 * 24 + 20)

    assert planned(lockout) == [hours(36, 42)]
    assert lockout.worked_hours.get().history.first().history_user == manager
    assert lockout.worked_hours.get().version == 2  # who edits them meanwhile is told


def test_planned_hours_stay_where_only_an_end_moves(lockout, manager):
    plan(lockout, manager, 12, 18)

    move(lockout, manager, 10, 18)

    assert planned(lockout) == [hours(12, 18)]


@pytest.mark.parametrize(
    ("start", "end", "stays", "field"),
    [(10, 17, True, "ends_at"), (13, 92, True, "starts_at"), (10, 92, False, "lockout")],
)
def test_change_session_refuses_to_leave_planned_hours_outside(
    lockout, manager, start, end, stays, field
):
    plan(lockout, manager, 12, 18)

    with pytest.raises(BookingRefused) as refused:
        move(lockout, manager, start, end, lockout=stays)

    assert list(refused.value.message_dict) == [field]
    saved = RecordingSession.objects.get()
    assert (saved.version, saved.ends_at, saved.lockout) == (1, hours(10, 92)[1], True)


def test_planned_hours_over_a_clock_change(manager):
    """Saturday 20:00 to Sunday 12:00 London, 24 October 2026: 17 hours (tz database)."""
    starts_at = datetime(2026, 10, 24, 19, tzinfo=UTC)
    lockout = RecordingSessionFactory(
        starts_at=starts_at, ends_at=starts_at + 17 * HOUR, lockout=True
    )

    worked = write_hours(
        lockout, kind=PLANNED, starts_at=lockout.starts_at, ends_at=lockout.ends_at, by=manager
    )

    assert str(worked) == "Sat 24 Oct 2026, 20:00 BST to Sun 25 Oct 2026, 12:00 GMT"


LONDON = ZoneInfo("Europe/London")


def london(month, day, hour, minute=0):
    return datetime(2026, month, day, hour, minute, tzinfo=LONDON).astimezone(UTC)


@pytest.mark.parametrize("month", [3, 10])
def test_moved_over_a_clock_change_the_planned_hours_keep_their_times_of_day(manager, room, month):
    """Three days, 10:00 to 20:00, moved from before the change into it: an hour shorter in March, an
    hour longer in October, the planned hours at the same times."""
    change = {3: 29, 10: 25}[month]  # the tz database, Europe/London
    old, new = change - 9, change - 1
    session = RecordingSessionFactory(
        starts_at=london(month, old, 10), ends_at=london(month, old + 2, 20), lockout=True
    )
    for day in range(3):
        write_hours(
            session,
            kind=PLANNED,
            starts_at=london(month, old + day, 10),
            ends_at=london(month, old + day, 20),
            by=manager,
        )

    change_session(
        session,
        version=session.version,
        starts_at=london(month, new, 10),
        ends_at=london(month, new + 2, 20),
        rooms=[room],
        by=manager,
    )

    assert planned(session) == [
        (london(month, new + day, 10), london(month, new + day, 20)) for day in range(3)
    ]


def test_form_moves_a_lockout_over_a_clock_change(client_of, manager, room):
    """As it is typed, on the studio's clock, and refused before."""
    confirmed = {"status": Status.CONFIRMED, "lockout": True}
    session = booked(manager, start=10, end=34, rooms=[room], **confirmed)
    write_hours(
        session,
        kind=PLANNED,
        starts_at=session.starts_at,
        ends_at=session.ends_at,
        by=manager,
    )
    page = reverse("bookings:edit", args=[session.pk])
    typed = {
        "project": session.project_id,
        "title": session.title,
        "starts_at": "2026-10-24T11:00",
        "ends_at": "2026-10-25T11:00",
        "rooms": [room.pk],
        "lockout": "on",
        "seen": session.version,
    }

    response = client_of(manager).post(page, typed)

    assert response.status_code == 302, response.context["form"].errors
    assert planned(session) == [(london(10, 24, 11), london(10, 25, 11))]
    session.refresh_from_db()
    assert session.ends_at - session.starts_at == 25 * HOUR


# The page


def test_hours_page_plans_and_takes_out(client_of, manager, lockout):
    client, url = client_of(manager), reverse("bookings:hours", args=[lockout.pk])
    typed = {"starts_at": "2026-06-01T12:00", "ends_at": "2026-06-01T20:00", "note": "Drums"}

    assert client.post(url, typed).url == url
    page = client.get(url).text
    worked = lockout.worked_hours.get()
    assert "Mon 1 Jun 2026, 12:00 to 20:00" in page
    assert "Drums" in client.get(lockout.get_absolute_url()).text
    assert client.post(reverse("bookings:hours_delete", args=[worked.pk])).url == url
    assert not lockout.worked_hours.exists()


def test_hours_page_refuses_beside_the_field_and_keeps_what_was_typed(client_of, manager, lockout):
    typed = {"starts_at": "2026-06-01T09:00", "ends_at": "2026-06-01T20:00", "note": "Drums"}

    response = client_of(manager).post(reverse("bookings:hours", args=[lockout.pk]), typed)

    form = response.context["form"]
    assert list(form.errors) == ["starts_at"]
    assert {name: form[name].value() for name in typed} == typed


def test_hours_page_asks_for_a_tick_where_somebody_is_off_work(client_of, manager, room):
    person = PersonFactory(name="Ulric Yarrell", bookable=True)
    WeeklyHoursFactory(room=None, person=person, **MONDAYS)
    lockout = booked(manager, start=10, end=92, rooms=[room], people=[person], lockout=True)
    client, url = client_of(manager), reverse("bookings:hours", args=[lockout.pk])
    typed = {"starts_at": "2026-06-02T12:00", "ends_at": "2026-06-02T20:00"}

    page = client.post(url, typed).text
    assert "Ulric Yarrell is off: Tue 2 Jun 2026, 12:00 to 20:00 (not on Tuesday)." in page
    assert 'name="all_the_same"' in page
    assert client.post(url, typed | {"all_the_same": "on"}).status_code == 302

    assert "Ulric Yarrell is off" in client.get(lockout.get_absolute_url()).text


def test_hours_are_changed_in_place(client_of, manager, lockout):
    hours = WorkedHoursFactory(
        session=lockout, kind=PLANNED, starts_at=lockout.starts_at, ends_at=lockout.ends_at
    )
    client, url = client_of(manager), reverse("bookings:hours_edit", args=[hours.pk])
    seen = client.get(url).context["seen"]
    typed = {"starts_at": "2026-06-01T12:00", "ends_at": "2026-06-01T20:00", "note": "Drums"}

    refused = client.post(url, typed | {"seen": seen, "ends_at": "2026-06-01T11:00"})
    assert list(refused.context["form"].errors) == ["ends_at"]
    assert client.post(url, typed | {"seen": seen}).url == reverse(
        "bookings:hours", args=[lockout.pk]
    )
    second = client.post(url, typed | {"seen": seen, "note": "Bass"})

    assert str(lockout.worked_hours.get()) == "Mon 1 Jun 2026, 12:00 to 20:00"
    assert second.status_code == 409
    assert second.context["meanwhile"].differences == [("Note", "Drums", "Bass")]


def test_hours_page_of_no_lockout_says_so(client_of, manager, room):
    session = booked(manager, rooms=[room])

    page = client_of(manager).get(reverse("bookings:hours", args=[session.pk])).text

    assert "Hours are planned within a lockout." in page
    assert '<form class="form"' not in page


def test_hours_that_were_worked_are_not_taken_out_as_planned(client_of, manager):
    worked = WorkedHoursFactory(kind=ACTUAL)

    response = client_of(manager).post(reverse("bookings:hours_delete", args=[worked.pk]))

    assert response.status_code == 404
