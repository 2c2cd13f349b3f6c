"""Every action, one test an exit."""

import pytest

from gear.editing.versions import EditedMeanwhile
from gear.equipment.models import UnitState
from sessions.bookings.actions import set_status
from sessions.bookings.clashes import BookingRefused, ClashError
from sessions.bookings.models import RecordingSession, Status
from tests.factories import TEN_O_CLOCK, PersonFactory, RoomFactory, UnitFactory
from tests.sessions.bookings.days import HOUR, ranks

pytestmark = pytest.mark.django_db


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


def test_book_session_enquiry_takes_no_time_and_minds_nobody(book):
    book(10, 14)

    enquiry = book(10, 14, status=Status.ENQUIRY)

    assert ranks(enquiry) == [None]


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
        "ends_at": ["The end must be after the start. Over midnight, enter the next day."]
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
        ("people", lambda: PersonFactory(), "is not bookable"),
        ("units", lambda: UnitFactory(state=UnitState.ON_THE_BENCH), "is on the bench"),
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
    unit.state = UnitState.ON_THE_BENCH
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
