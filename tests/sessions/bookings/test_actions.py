"""Every action, one test an exit."""

from datetime import timedelta

import pytest

from gear.equipment.models import UnitState
from sessions.bookings.actions import STEPS, book_session, change_session, set_status
from sessions.bookings.clashes import BookingRefused, ClashError
from sessions.bookings.models import RecordingSession, Status
from sessions.editing import EditedMeanwhile
from tests.factories import (
    TEN_O_CLOCK,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def room(db):
    return RoomFactory()


@pytest.fixture
def book(room, manager):
    """`book(10, 14)` holds the room from 10:00 to 14:00 UTC; keywords change anything."""
    project = ProjectFactory()

    def book(start, end, **wanted):
        wanted = {"rooms": [room], "status": Status.HELD, "title": f"From {start}"} | wanted
        day = TEN_O_CLOCK.replace(hour=0)
        period = {"starts_at": day + start * HOUR, "ends_at": day + end * HOUR}
        return book_session(project, by=manager, **(period | wanted))

    return book


@pytest.fixture
def change(manager):
    """`change(session, ends_at=…)` with all the rest as it is."""

    def change(session, **changed):
        kept = {
            field: [
                getattr(each, kind)
                for each in session.reservations.all()
                if getattr(each, kind) is not None
            ]
            for kind, field in {"room": "rooms", "person": "people", "unit": "units"}.items()
        }
        for name in ("version", "project", "title", "starts_at", "ends_at", "note"):
            kept[name] = getattr(session, name)
        return change_session(session, by=manager, **(kept | changed))

    return change


def ranks(session):
    return [each.rank for each in session.reservations.order_by("pk")]


# Booking


def test_book_session_reserves_everything_for_its_whole_period(book, room, manager):
    person, unit = PersonFactory(bookable=True), UnitFactory()

    session = book(10, 14, people=[person], units=[unit], status=Status.CONFIRMED, note="Quiet")

    taken = [
        (each.resource, each.rank, each.starts_at, each.ends_at)
        for each in session.reservations.order_by("pk")
    ]
    period = session.starts_at, session.ends_at
    assert taken == [(room, 1, *period), (person, 1, *period), (unit, 1, *period)]
    assert (session.status, session.note) == (Status.CONFIRMED, "Quiet")
    assert session.history.get().history_user == manager
    assert {each.history.get().history_user for each in session.reservations.all()} == {manager}


def test_book_session_inquiry_takes_no_time_and_minds_nobody(book):
    book(10, 14)

    inquiry = book(10, 14, status=Status.INQUIRY)

    assert ranks(inquiry) == [None]


@pytest.mark.parametrize("kind", ["room", "person", "unit"])
def test_book_session_refuses_what_is_taken_and_says_by_whom_and_when(book, room, kind):
    other = RoomFactory()
    resource = {
        "room": room,
        "person": PersonFactory(bookable=True),
        "unit": UnitFactory(),
    }[kind]
    field = {"room": "rooms", "person": "people", "unit": "units"}[kind]
    first = book(10, 14, **({"rooms": [other]} | {field: [resource]}))

    with pytest.raises(ClashError) as refused:
        book(13, 16, **({"rooms": [RoomFactory()]} | {field: [resource]}))

    [clash] = refused.value.clashes
    assert (clash.resource, clash.by.key, clash.rank) == (resource, first.pk, 1)
    assert (clash.starts_at, clash.ends_at) == (TEN_O_CLOCK + 3 * HOUR, TEN_O_CLOCK + 4 * HOUR)
    assert refused.value.message_dict == {
        field: [
            f"{resource} is taken by “From 10” ({first.project}, {first.project.client}), "
            "first hold: Mon 1 Jun 2026, 14:00 to 15:00."
        ]
    }
    assert RecordingSession.objects.get() == first


def test_book_session_may_touch_what_is_taken(book):
    book(10, 14)

    assert ranks(book(14, 18)) == [1]
    assert ranks(book(6, 10)) == [1]


def test_book_session_in_line_stands_behind_everybody_who_wants_the_time(book):
    book(10, 14)
    book(12, 16, queue_behind=True)

    third, beside = book(13, 15, queue_behind=True), book(14, 16, rooms=[RoomFactory()])

    assert (ranks(third), ranks(beside)) == ([3], [1])


def test_book_session_in_line_stands_first_where_nobody_is(book, room):
    free = RoomFactory()
    book(10, 14)

    session = book(10, 14, rooms=[room, free], queue_behind=True)

    assert {each.room: each.rank for each in session.reservations.all()} == {room: 2, free: 1}


def test_book_session_confirmed_does_not_stand_in_line(book):
    book(10, 14)

    with pytest.raises(ClashError):
        book(12, 16, status=Status.CONFIRMED, queue_behind=True)


@pytest.mark.parametrize("end", [10, 9])
def test_book_session_refuses_to_end_before_it_starts(book, end):
    with pytest.raises(BookingRefused) as refused:
        book(10, end)

    assert refused.value.message_dict == {
        "ends_at": ["This is not after the start. Over midnight, give the next day."]
    }


def test_book_session_is_at_most_31_days_long(book):
    with pytest.raises(BookingRefused) as refused:
        book(0, 31 * 24 + 0.25)

    assert "at most 31 days" in refused.value.message_dict["ends_at"][0]
    assert ranks(book(0, 31 * 24)) == [1]


def test_book_session_needs_a_room(book):
    with pytest.raises(BookingRefused) as refused:
        book(10, 14, rooms=[], people=[PersonFactory(bookable=True)])

    assert list(refused.value.message_dict) == ["rooms"]


@pytest.mark.parametrize(
    ("field", "make", "why"),
    [
        ("rooms", lambda: RoomFactory(retired=True), "is retired"),
        ("people", lambda: PersonFactory(bookable=True, retired=True), "is retired"),
        ("people", lambda: PersonFactory(), "is not marked as bookable"),
        ("units", lambda: UnitFactory(state=UnitState.AT_THE_BENCH), "is at the bench"),
        ("units", lambda: UnitFactory(state=UnitState.RETIRED), "is retired"),
    ],
)
def test_book_session_refuses_what_is_out_of_service(book, room, field, make, why):
    resource = make()
    wanted = {"rooms": [room]}
    wanted[field] = [*wanted.get(field, []), resource]

    with pytest.raises(BookingRefused) as refused:
        book(10, 14, **wanted)

    assert list(refused.value.message_dict) == [field]
    assert f"{resource} {why}" in refused.value.message_dict[field][0]


# Changing


def test_change_session_moves_its_reservations_and_counts_the_edit(book, change, room):
    session = book(10, 14)
    other = RoomFactory()

    change(session, title="Fiddle", rooms=[other], ends_at=session.ends_at + HOUR)

    session.refresh_from_db()
    [taken] = session.reservations.all()
    assert (taken.room, taken.ends_at, taken.rank) == (other, session.ends_at, 1)
    assert (session.title, session.version) == ("Fiddle", 2)
    assert not room.reservations.exists()


def test_change_session_refuses_a_clash_and_changes_nothing(book, change):
    book(14, 18)
    session = book(10, 14)

    with pytest.raises(ClashError):
        change(session, ends_at=session.ends_at + HOUR)

    session.refresh_from_db()
    assert (session.version, session.ends_at) == (1, TEN_O_CLOCK + 4 * HOUR)


def test_change_session_may_overlap_its_own_old_time(book, change):
    session = book(10, 14)

    change(session, starts_at=session.starts_at + HOUR, ends_at=session.ends_at + HOUR)

    assert session.reservations.get().starts_at == TEN_O_CLOCK + HOUR


def test_change_session_lets_those_behind_move_up(book, change):
    first, second = book(10, 14), book(10, 14, queue_behind=True)

    change(first, starts_at=first.starts_at + 4 * HOUR, ends_at=first.ends_at + 4 * HOUR)

    assert (ranks(first), ranks(second)) == ([1], [1])
    assert second.reservations.get().history.first().history_change_reason == "moved up"


def test_change_session_that_shrinks_frees_the_rest(book, change):
    first, second = book(10, 14), book(12, 16, queue_behind=True)

    change(first, ends_at=first.starts_at + 2 * HOUR)

    assert ranks(second) == [1]


def test_change_session_keeps_its_place_where_only_words_change(book, change):
    book(10, 14)
    second, third = book(10, 14, queue_behind=True), book(10, 14, queue_behind=True)

    change(second, title="New title")

    assert (ranks(second), ranks(third)) == ([2], [3])


def test_change_session_first_hold_stays_first_when_it_grows_into_free_time(book, change):
    first, second = book(10, 14), book(12, 16, queue_behind=True)

    change(first, ends_at=first.ends_at + HOUR, queue_behind=True)

    assert (ranks(first), ranks(second)) == ([1], [2])


def test_change_session_moves_itself_to_the_end_of_another_line(book, change):
    book(10, 14)
    second, third = book(10, 14, queue_behind=True), book(10, 14, queue_behind=True)

    change(second, ends_at=second.ends_at + HOUR, queue_behind=True)

    assert (ranks(second), ranks(third)) == ([3], [2])


def test_change_session_second_hold_that_moves_to_free_time_is_first(book, change):
    book(10, 14)
    second = book(10, 14, queue_behind=True)

    change(second, starts_at=second.ends_at, ends_at=second.ends_at + HOUR)

    assert ranks(second) == [1]


def test_change_session_keeps_a_unit_that_went_to_the_bench(book, change):
    unit = UnitFactory()
    session = book(10, 14, units=[unit])
    unit.state = UnitState.AT_THE_BENCH
    unit.save()

    change(session, title="Without it")
    with pytest.raises(BookingRefused):
        change(book(15, 16), units=[unit])

    assert session.reservations.filter(unit=unit).exists()


def test_change_session_of_a_cancelled_one_takes_no_time(book, change, manager):
    session = set_status(book(10, 14), to=Status.CANCELLED, by=manager)
    book(10, 14)

    change(session, note="They may come back")

    assert ranks(session) == [None]


def test_change_session_second_editor_is_told(book, change):
    session = book(10, 14)
    opened = RecordingSession.objects.get(pk=session.pk)
    change(session, title="First editor")

    with pytest.raises(EditedMeanwhile) as edited:
        change(opened, title="Second editor")

    assert edited.value.current.title == "First editor"
    assert RecordingSession.objects.get(pk=session.pk).title == "First editor"


# Status


@pytest.mark.parametrize("status", Status)
@pytest.mark.parametrize("to", Status)
def test_set_status_takes_sensible_steps_only(book, manager, status, to):
    """The table of steps, written out here a second time by hand."""
    sensible = {
        ("inquiry", "held"),
        ("inquiry", "confirmed"),
        ("inquiry", "cancelled"),
        ("held", "inquiry"),
        ("held", "confirmed"),
        ("held", "cancelled"),
        ("confirmed", "held"),
        ("confirmed", "under_way"),
        ("confirmed", "cancelled"),
        ("under_way", "confirmed"),
        ("under_way", "wrapped"),
        ("wrapped", "under_way"),
        ("cancelled", "inquiry"),
    }
    session = book(10, 14)
    RecordingSession.objects.filter(pk=session.pk).update(status=status)
    if status in ("inquiry", "cancelled"):
        session.reservations.update(rank=None)

    if (status, to) in sensible:
        set_status(session, to=to, by=manager)
        assert RecordingSession.objects.get().status == to
        assert ranks(session) == [None if to in ("inquiry", "cancelled") else 1]
        assert session.history.first().history_user == manager
    else:
        with pytest.raises(BookingRefused, match="so it cannot become"):
            set_status(session, to=to, by=manager)
        assert RecordingSession.objects.get().status == status


def test_steps_name_every_status():
    assert set(STEPS) == set(Status)


def test_set_status_refuses_a_word_that_is_no_status(book, manager):
    with pytest.raises(BookingRefused, match="cannot become lost"):
        set_status(book(10, 14), to="lost", by=manager)


def test_set_status_cancelled_lets_those_behind_move_up(book, manager):
    first = book(10, 14)
    second, third = book(12, 16, queue_behind=True), book(13, 15, queue_behind=True)

    set_status(first, to=Status.CANCELLED, by=manager)

    assert (ranks(first), ranks(second), ranks(third)) == ([None], [1], [2])


def test_set_status_second_hold_cannot_be_confirmed(book, manager):
    first, second = book(10, 14), book(12, 16, queue_behind=True)

    with pytest.raises(ClashError) as refused:
        set_status(second, to=Status.CONFIRMED, by=manager)

    assert [clash.by.key for clash in refused.value.clashes] == [first.pk]
    second.refresh_from_db()
    assert (second.status, ranks(second)) == (Status.HELD, [2])


def test_set_status_inquiry_becomes_a_hold_in_line(book, manager):
    inquiry = book(10, 14, status=Status.INQUIRY)
    book(12, 16)

    with pytest.raises(ClashError):
        set_status(inquiry, to=Status.HELD, by=manager)
    set_status(inquiry, to=Status.HELD, queue_behind=True, by=manager)

    assert ranks(inquiry) == [2]


def test_set_status_inquiry_is_not_held_with_a_retired_room(book, manager, room):
    inquiry = book(10, 14, status=Status.INQUIRY)
    room.retired = True
    room.save()

    with pytest.raises(BookingRefused, match="is retired"):
        set_status(inquiry, to=Status.HELD, by=manager)


def test_set_status_confirming_past_a_blocked_hold_frees_its_old_place(book, manager):
    """
    rank 1  [10 first 12)
    rank 2     [11 second  14)
    rank 3          [12 third 15)   rank 1 is free for it: confirmed beats hold
    rank 4                [14 fourth 16)
    """
    book(10, 12)
    second = book(11, 14, queue_behind=True)
    third, fourth = book(12, 15, queue_behind=True), book(14, 16, queue_behind=True)
    assert (ranks(second), ranks(third), ranks(fourth)) == ([2], [3], [4])

    set_status(third, to=Status.CONFIRMED, by=manager)

    assert (ranks(second), ranks(third), ranks(fourth)) == ([2], [1], [2])


def test_set_status_counts_as_an_edit(book, change, manager):
    session = book(10, 14)
    opened = RecordingSession.objects.get(pk=session.pk)
    set_status(session, to=Status.CONFIRMED, by=manager)

    with pytest.raises(EditedMeanwhile):
        change(opened, title="Still a hold?")
