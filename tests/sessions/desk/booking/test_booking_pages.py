"""To book and to change: what is typed, and what comes back."""

from datetime import UTC, datetime, time, timedelta

import pytest
from django.urls import reverse

from gear.equipment.models import UnitState
from sessions.bookings.models import RecordingSession
from sessions.clients.models import Person
from sessions.rooms.models import Room, Weekday
from tests.factories import (
    BlockFactory,
    PersonFactory,
    ProjectFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
    WeeklyHoursFactory,
)
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db
FIRST = [("enquiry", False), ("held", False), ("confirmed", True)]


@pytest.fixture(autouse=True)
def _a_week_before(time_machine):
    """Enquiries and holds are for time to come."""
    time_machine.move_to(datetime(2026, 5, 25, 9, tzinfo=UTC))


@pytest.fixture
def wish():
    """What a manager types for four hours on the first of June, 11:00 to 15:00 in London."""
    return {
        "project": ProjectFactory().pk,
        "title": "Group vocals",
        "starts_at": "2026-06-01T11:00",
        "ends_at": "2026-06-01T15:00",
        "status": "held",
        "rooms": [RoomFactory(name="Bread Room").pk],
        "people": [PersonFactory(name="Ulric Yarrell", bookable=True).pk],
        "units": [UnitFactory().pk],
        "note": "Quiet\r\nplease",
        "left_to_do": "Second verse",
    }


def still_typed(response, wish):
    """Whether the page that came back holds everything that was typed."""
    form = response.context["form"]
    return {name: form[name].value() for name in wish if name != "seen"} == {
        name: [str(each) for each in value] if isinstance(value, list) else str(value)
        for name, value in wish.items()
        if name != "seen"
    }


def test_create_books_on_the_studios_clock(client_of, manager, wish):
    response = client_of(manager).post(reverse("bookings:create"), wish)

    session = RecordingSession.objects.get()
    assert response.url == session.get_absolute_url()
    assert (session.starts_at, session.ends_at) == hours(10, 14)
    assert [each.rank for each in session.reservations.all()] == [1, 1, 1]
    assert session.history.get().history_user == manager


def test_create_starts_with_the_project_of_the_address(client_of, manager):
    project = ProjectFactory(name="Ninth Tide EP")

    page = client_of(manager).get(reverse("bookings:create"), {"project": project.pk})

    assert f'<option value="{project.pk}" selected>Ninth Tide EP</option>' in page.text


def test_create_refuses_a_clash_beside_the_field_and_keeps_what_was_typed(client_of, manager, wish):
    first = booked(manager, start=13, end=16, rooms=[Room.objects.get()])

    response = client_of(manager).post(reverse("bookings:create"), wish)

    assert response.context["form"].errors == {
        "rooms": [
            f"Bread Room is taken by “Overdubs” ({first.project}, {first.project.client}), "
            "first hold: Mon 1 Jun 2026, 14:00 to 15:00."
        ]
    }
    assert "Bread Room is taken by “Overdubs”" in response.text
    assert still_typed(response, wish)
    assert RecordingSession.objects.get() == first


def test_create_in_line_behind(client_of, manager, wish):
    booked(manager, rooms=[Room.objects.get()])

    client_of(manager).post(reverse("bookings:create"), wish | {"queue_behind": "on"})

    assert RecordingSession.objects.get(title="Group vocals").standing == "second hold"


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("ends_at", "2026-06-01T11:00", "The end must be after the start."),
        ("ends_at", "2026-05-31T15:00", "The end must be after the start."),
        ("ends_at", "2026-07-02T11:01", "A session is at most 31 days long."),
        ("ends_at", "2066-06-01T11:00", "A session is at most 31 days long."),
        ("ends_at", "9999-12-31T23:59", "Check the year: it is too late."),
        ("starts_at", "0001-01-01T00:00", "Check the year: it is too early."),
        ("starts_at", "2026-03-29T01:30", "There is no 01:30 on Sun 29 Mar 2026"),
        ("starts_at", "2026-10-25T01:30", "01:30 on Sun 25 Oct 2026 comes twice"),
        ("starts_at", "tomorrow", "Enter a day and a time"),
        ("starts_at", "", "This field is required."),
        ("title", "", "This field is required."),
        ("project", "", "This field is required."),
        ("project", "0", "Select a valid choice."),
        ("status", "wrapped", "Select a valid choice."),
        ("ends_at", "2026-05-25T10:00", "The end must be after the start."),
        ("load_in_minutes", "-5", "Enter 0 minutes or more."),
        ("load_in_minutes", "an hour", "Enter whole minutes."),
        ("teardown_minutes", "1441", "At most 1440 minutes (a day)."),
        ("rooms", [], "Nothing is reserved yet: choose at least one room."),
        ("rooms", ["0"], "Select a valid choice."),
        ("units", ["x"], "“x” is not a valid value."),
    ],
)
def test_create_names_what_is_wrong_beside_the_field(
    client_of, manager, wish, field, typed, sentence
):
    wish[field] = typed

    response = client_of(manager).post(reverse("bookings:create"), wish)

    errors = response.context["form"].errors
    assert list(errors) == [field]
    assert errors[field][0].startswith(sentence)
    assert still_typed(response, wish)
    assert not RecordingSession.objects.exists()


@pytest.mark.parametrize(
    ("field", "make", "why"),
    [
        ("rooms", lambda: RoomFactory(retired=True), "is retired"),
        ("people", lambda: PersonFactory(), "is not bookable"),
        ("units", lambda: UnitFactory(state=UnitState.ON_THE_BENCH), "is on the bench"),
    ],
)
def test_create_says_why_something_cannot_be_booked(client_of, manager, wish, field, make, why):
    """It was on the list when the page was opened, and is out of service now."""
    wish[field] = [*wish[field], make().pk]

    response = client_of(manager).post(reverse("bookings:create"), wish)

    assert list(response.context["form"].errors) == [field]
    assert why in response.context["form"].errors[field][0]
    assert still_typed(response, wish)
    assert f'value="{wish[field][-1]}"' in response.text, "a ticked box left the list"


def test_create_offers_only_what_can_be_booked(client_of, manager):
    RoomFactory(name="Loft"), RoomFactory(name="Old Store", retired=True)
    PersonFactory(name="Nell", bookable=True), PersonFactory(name="Not for hire")
    unit = UnitFactory()
    bench = UnitFactory(state=UnitState.ON_THE_BENCH)

    page = client_of(manager).get(reverse("bookings:create")).text

    assert [word in page for word in ("Loft", "Nell", unit.asset_tag)] == [True] * 3
    assert [word in page for word in ("Old Store", "Not for hire", bench.asset_tag)] == [False] * 3


def test_create_asks_for_a_tick_outside_hours_and_books_all_the_same(client_of, manager, wish):
    """Monday 12:00 to 22:00 for the room, no Monday for the engineer; the wish is 11:00 to 15:00."""
    WeeklyHoursFactory(room=Room.objects.get(), opens=time(12))
    WeeklyHoursFactory(room=None, person=Person.objects.get(), weekday=Weekday.TUESDAY)
    client = client_of(manager)
    assert "all_the_same" not in client.get(reverse("bookings:create")).context["form"].fields

    response = client.post(reverse("bookings:create"), wish)

    assert response.context["form"].errors == {
        "rooms": [
            "Bread Room is closed: Mon 1 Jun 2026, 11:00 to 12:00 (Monday 12:00 to 22:00). "
            "Tick “Book anyway” if that is intended."
        ],
        "people": [
            "Ulric Yarrell is off: Mon 1 Jun 2026, 11:00 to 15:00 (not on Monday). "
            "Tick “Book anyway” if that is intended."
        ],
    }
    assert 'name="all_the_same"' in response.text
    assert still_typed(response, wish)
    assert not RecordingSession.objects.exists()
    client.post(reverse("bookings:create"), wish | {"all_the_same": "on"})
    session = RecordingSession.objects.get()
    assert "Bread Room is closed: Mon 1 Jun 2026" in client.get(session.get_absolute_url()).text


def test_create_says_that_time_is_taken_although_it_is_booked_all_the_same(
    client_of, manager, wish
):
    WeeklyHoursFactory(room=Room.objects.get(), opens=time(12))
    booked(manager, rooms=[Room.objects.get()], all_the_same=True)

    response = client_of(manager).post(reverse("bookings:create"), wish | {"all_the_same": "on"})

    assert "is taken by" in response.context["form"].errors["rooms"][0]
    assert response.context["form"]["all_the_same"].value() is True


@pytest.mark.parametrize(("status", "accepted"), FIRST)
def test_create_takes_only_a_confirmed_session_that_is_over(
    client_of, manager, wish, status, accepted
):
    period = {"starts_at": "2026-05-25T06:00", "ends_at": "2026-05-25T10:00"}  # now in London

    response = client_of(manager).post(
        reverse("bookings:create"), wish | period | {"status": status}
    )

    assert RecordingSession.objects.exists() == accepted
    if not accepted:
        [sentence] = response.context["form"].errors["ends_at"]
        assert sentence.startswith("This time is over already. Only a confirmed session")
        assert still_typed(response, wish | period | {"status": status})


def test_create_takes_a_hold_that_has_begun(client_of, manager, wish):
    period = {"starts_at": "2026-05-25T06:00", "ends_at": "2026-05-25T10:01"}

    client_of(manager).post(reverse("bookings:create"), wish | period)

    assert RecordingSession.objects.exists()


def test_create_over_a_block_says_what_it_is_for(client_of, manager, wish):
    block = BlockFactory(title="Piano tuning")
    ReservationFactory(
        session=None,
        block=block,
        room=Room.objects.get(),
        starts_at=block.starts_at,
        ends_at=block.ends_at,
    )

    response = client_of(manager).post(reverse("bookings:create"), wish)

    assert response.context["form"].errors == {
        "rooms": [
            "Bread Room is blocked for “Piano tuning” (maintenance): Mon 1 Jun 2026, 11:00 to 15:00."
        ]
    }


def test_create_over_a_clock_change_takes_the_real_hours(client_of, manager, wish):
    """22:00 to 10:00 London over 25 October 2026 is 13 hours (tz database)."""
    period = {"starts_at": "2026-10-24T22:00", "ends_at": "2026-10-25T10:00"}

    client_of(manager).post(reverse("bookings:create"), wish | period)

    assert RecordingSession.objects.get().duration == timedelta(hours=13)


def test_create_books_a_lockout_over_several_nights(client_of, manager, wish):
    WeeklyHoursFactory(room=Room.objects.get())

    client_of(manager).post(
        reverse("bookings:create"),
        wish | {"ends_at": "2026-06-04T15:00", "lockout": "on"},
    )

    session = RecordingSession.objects.get()
    assert (session.lockout, session.duration) == (True, timedelta(days=3, hours=4))


# Change


def test_edit_into_the_past_is_refused_and_words_are_not(
    client_of, manager, session, changed, time_machine
):
    url = reverse("bookings:edit", args=[session.pk])
    time_machine.move_to(datetime(2026, 7, 1, 9, tzinfo=UTC))
    client = client_of(manager)

    late = client.post(url, changed | {"ends_at": "2026-06-01T14:00"})
    words = client.post(url, changed | {"title": "Shanties, late"})

    assert list(late.context["form"].errors) == ["ends_at"]
    assert words.status_code == 302


@pytest.fixture
def session(wish, client_of, manager):
    client_of(manager).post(reverse("bookings:create"), wish)
    return RecordingSession.objects.get()


@pytest.fixture
def changed(wish):
    return {name: value for name, value in wish.items() if name != "status"} | {"seen": "1"}


def test_edit_opens_with_what_is_saved(client_of, manager, session, changed):
    form = client_of(manager).get(reverse("bookings:edit", args=[session.pk])).context["form"]

    assert [form[name].value() for name in ("rooms", "people", "units")] == [
        changed[name] for name in ("rooms", "people", "units")
    ]
    assert 'value="2026-06-01T11:00"' in str(form["starts_at"])


def test_edit_saves_period_and_resources(client_of, manager, session, changed):
    changed |= {"ends_at": "2026-06-01T16:30", "units": []}

    response = client_of(manager).post(reverse("bookings:edit", args=[session.pk]), changed)

    assert response.url == session.get_absolute_url()
    assert {each.ends_at for each in session.reservations.all()} == {hours(10, 15.5)[1]}
    assert not session.reservations.filter(unit__isnull=False).exists()


def test_edit_refuses_a_clash_and_keeps_what_was_typed(client_of, manager, session, changed):
    booked(manager, start=14, end=16, rooms=[Room.objects.get(name="Bread Room")])
    changed |= {"ends_at": "2026-06-01T16:30", "title": "Longer"}

    response = client_of(manager).post(reverse("bookings:edit", args=[session.pk]), changed)

    assert list(response.context["form"].errors) == ["rooms"]
    assert still_typed(response, changed)
    session.refresh_from_db()
    assert (session.title, session.version) == ("Group vocals", 1)


def test_edit_of_a_second_editor_shows_both_versions(client_of, manager, session, changed):
    url = reverse("bookings:edit", args=[session.pk])
    loft = RoomFactory(name="Loft")
    client_of(manager).post(url, changed | {"title": "First editor", "rooms": [loft.pk]})
    mine = changed | {"title": "Second editor", "ends_at": "2026-06-01T16:00"}

    response = client_of(manager).post(url, mine)

    assert response.status_code == 409
    assert response.context["meanwhile"].differences == [
        ("Title", "First editor", "Second editor"),
        ("Ends", "2026-06-01 15:00", "2026-06-01 16:00"),
        ("Rooms", "Loft", "Bread Room"),
    ]
    assert still_typed(response, mine)
    assert RecordingSession.objects.get().title == "First editor"
    assert "Saved by Odile Marrack" in response.text
    assert response.context["seen"] == 2
    assert client_of(manager).post(url, mine | {"seen": "2"}).status_code == 302
    assert RecordingSession.objects.get().title == "Second editor"


def test_edit_without_the_version_it_was_opened_at_saves_nothing(
    client_of, manager, session, changed
):
    response = client_of(manager).post(
        reverse("bookings:edit", args=[session.pk]), changed | {"seen": "one", "title": "Blind"}
    )

    assert response.status_code == 409
    assert RecordingSession.objects.get().title == "Group vocals"
