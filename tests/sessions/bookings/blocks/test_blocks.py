"""Blocks and sessions in each other's way; every action, one test an exit."""

from datetime import time, timedelta

import pytest
from django.db import IntegrityError, transaction

from gear.editing.versions import EditedMeanwhile
from gear.equipment.models import UnitState
from sessions.bookings.actions import set_status
from sessions.bookings.blocks.actions import change_block, make_block, remove_block
from sessions.bookings.clashes import BookingRefused, ClashError
from sessions.bookings.holds.line import line_of
from sessions.bookings.models import Block, BlockKind, RecordingSession, Reservation, Status
from sessions.bookings.padding import Padding
from sessions.rooms.actions import set_hours
from sessions.rooms.models import WeeklyHours
from tests.factories import (
    PersonFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
    WeeklyHoursFactory,
)
from tests.sessions.bookings.days import booked, hours, ranks

pytestmark = pytest.mark.django_db


@pytest.fixture
def room(db):
    return RoomFactory(name="Bread Room")


@pytest.fixture
def block(room, manager):
    """`block(10, 14)` blocks the room from 10:00 to 14:00 UTC; keywords change anything."""

    def block(start, end, **wanted):
        starts_at, ends_at = hours(start, end)
        wanted = {"kind": BlockKind.MAINTENANCE, "title": "Piano tuning", "rooms": [room]} | wanted
        return make_block(starts_at=starts_at, ends_at=ends_at, by=manager, **wanted)

    return block


def change(block, by, start=10, end=14, **changed):
    starts_at, ends_at = hours(start, end)
    kept = {
        "version": block.version,
        "kind": block.kind,
        "title": block.title,
        "rooms": [each.room for each in block.reservations.for_list() if each.room],
    }
    return change_block(block, starts_at=starts_at, ends_at=ends_at, by=by, **(kept | changed))


def test_make_block_keeps_everything_in_first_place(block, room, manager):
    person, unit = PersonFactory(), UnitFactory(state=UnitState.ON_THE_BENCH)

    made = block(10, 14, people=[person], units=[unit], note="Both pianos")

    taken = {
        each.resource: (each.rank, each.starts_at, each.ends_at) for each in made.reservations.all()
    }
    assert taken == dict.fromkeys([room, person, unit], (1, *hours(10, 14)))
    assert {each.standing for each in made.reservations.all()} == {"blocked"}
    assert made.history.get().history_user == manager
    assert made.note == "Both pianos"


@pytest.mark.parametrize("kind", ["rooms", "people", "units"])
def test_session_over_a_block_is_refused_with_what_it_is_for(block, manager, kind):
    resource = {
        "rooms": RoomFactory,
        "people": lambda: PersonFactory(bookable=True),
        "units": UnitFactory,
    }[kind]()
    made = block(10, 14, **({"rooms": []} | {kind: [resource]}))

    with pytest.raises(ClashError) as refused:
        booked(manager, start=13, end=16, **{kind: [resource]})

    [clash] = refused.value.clashes
    assert (clash.by.title, clash.by.key) == (made.title, made.pk)
    assert refused.value.message_dict == {
        kind: [
            f"{resource} is blocked for “Piano tuning” (maintenance): "
            "Mon 1 Jun 2026, 14:00 to 15:00."
        ]
    }


def test_block_over_a_session_is_refused_with_whose_it_is(block, room, manager):
    session = booked(manager, start=13, end=16, rooms=[room])

    with pytest.raises(ClashError) as refused:
        block(10, 14)

    assert [clash.by.key for clash in refused.value.clashes] == [session.pk]
    assert "Bread Room is taken by “Overdubs”" in refused.value.message_dict["rooms"][0]
    assert not Block.objects.exists()


def test_block_over_a_sessions_padding_is_refused(block, room, manager):
    booked(manager, start=10, end=14, rooms=[room], padding={room: Padding(0, 60)})

    with pytest.raises(ClashError):
        block(14, 15)
    assert block(15, 16).reservations.get().rank == 1


def test_block_over_a_block_is_refused(block):
    block(10, 14)

    with pytest.raises(ClashError, match="blocked for"):
        block(13, 15)
    block(14, 15)


def test_database_keeps_block_and_session_apart(block, room):
    """Whatever writes past our actions."""
    block(10, 14)

    with pytest.raises(IntegrityError), transaction.atomic():
        ReservationFactory(room=room)


def test_hold_may_stand_behind_a_block_and_moves_up_when_it_is_removed(
    block, room, manager, mailoutbox
):
    made = block(10, 14)
    hold = booked(manager, start=12, end=16, rooms=[room], queue_behind=True)
    line = line_of(hold, among=RecordingSession.objects.all(), blocks=Block.objects.all())
    assert [each.holder for each in line[room]] == [made]
    assert line_of(hold, among=RecordingSession.objects.all(), blocks=Block.objects.none()) == {
        room: []
    }
    assert hold.standing == "second hold"

    remove_block(made, by=manager)

    made.refresh_from_db()
    assert (made.removed, made.version, made.reservations.get().rank) == (True, 2, None)
    assert ranks(hold) == [1]


def test_remove_block_twice_changes_nothing_more(block, manager):
    made = remove_block(block(10, 14), by=manager)

    remove_block(made, by=manager)

    assert (made.version, made.history.count()) == (2, 2)


def test_change_block_moves_its_time_and_lets_holds_move_up(block, room, manager):
    made, other = block(10, 14), RoomFactory()
    hold = booked(manager, start=10, end=14, rooms=[room], queue_behind=True)

    change(made, manager, 14, 15, rooms=[room, other], title="Tuning", kind=BlockKind.HOUSE)

    assert {each.room: (each.starts_at, each.ends_at) for each in made.reservations.all()} == {
        room: hours(14, 15),
        other: hours(14, 15),
    }
    assert ranks(hold) == [1]
    made.refresh_from_db()
    assert (made.title, made.kind, made.version) == ("Tuning", BlockKind.HOUSE, 2)


def test_change_block_drops_what_it_does_not_want_any_more(block, room, manager):
    other = RoomFactory()
    made = block(10, 14, rooms=[room, other])

    change(made, manager, rooms=[other])

    assert made.reservations.get().room == other
    assert ranks(booked(manager, rooms=[room])) == [1]
    assert Reservation.history.filter(history_type="-").get().history_user == manager


def test_change_block_may_overlap_its_own_old_time_but_nobody_elses(block, room, manager):
    made = block(10, 14)
    booked(manager, start=16, end=18, rooms=[room])

    change(made, manager, 11, 16)
    with pytest.raises(ClashError):
        change(made, manager, 11, 17)

    assert made.reservations.get().ends_at == hours(11, 16)[1]


def test_change_block_second_editor_is_told(block, manager):
    made = block(10, 14)
    opened = Block.objects.get()
    change(made, manager, title="First editor")

    with pytest.raises(EditedMeanwhile):
        change(opened, manager, title="Second editor")

    assert Block.objects.get().title == "First editor"


def test_change_block_that_is_removed_is_refused(block, manager):
    made = remove_block(block(10, 14), by=manager)

    with pytest.raises(BookingRefused, match="has been removed"):
        change(made, manager, title="Again")


@pytest.mark.parametrize("end", [10, 9])
def test_make_block_refuses_to_end_before_it_starts(block, end):
    with pytest.raises(BookingRefused) as refused:
        block(10, end)

    assert list(refused.value.message_dict) == ["ends_at"]


def test_make_block_is_at_most_a_year_long(block):
    with pytest.raises(BookingRefused, match="at most 366 days"):
        block(0, 366 * 24 + 1)
    block(0, 366 * 24)


def test_make_block_needs_something_to_block(block):
    with pytest.raises(BookingRefused) as refused:
        block(10, 14, rooms=[])

    assert list(refused.value.message_dict) == ["rooms"]


@pytest.mark.parametrize(
    ("field", "make"),
    [
        ("rooms", lambda: RoomFactory(retired=True)),
        ("people", lambda: PersonFactory(retired=True)),
        ("units", lambda: UnitFactory(state=UnitState.RETIRED)),
    ],
)
def test_make_block_refuses_what_is_retired(block, field, make):
    with pytest.raises(BookingRefused, match="is retired and cannot be booked anyway") as refused:
        block(10, 14, **{field: [make()]})

    assert list(refused.value.message_dict) == [field]


def test_change_block_keeps_a_room_that_was_retired_since(block, room, manager):
    made = block(10, 14)
    room.retired = True
    room.save()

    change(made, manager, title="Still blocked")

    assert made.reservations.get().room == room


def test_block_is_the_houses_business(block, manager, assistant, mix_engineer):
    made = block(10, 14)

    assert list(Block.objects.visible_to(manager)) == [made]
    assert list(Block.objects.visible_to(assistant)) == [made]
    assert list(Block.objects.visible_to(mix_engineer)) == []


# Hours


def test_set_hours_writes_what_is_new_and_drops_what_is_gone(room, manager):
    kept = WeeklyHoursFactory(room=room)
    WeeklyHoursFactory(room=room, weekday=1)
    WeeklyHoursFactory()

    week = [(0, time(10), time(22)), (2, time(18), time(2))]
    set_hours(room, hours=week, version=room.version, by=manager)

    assert [(row.weekday, row.opens, row.closes) for row in room.hours.all()] == week
    assert room.hours.first() == kept
    assert WeeklyHours.objects.count() == 3
    assert WeeklyHours.history.first().history_user == manager


def test_set_hours_second_editor_is_told(room, manager):
    person = PersonFactory()
    seen = person.version
    set_hours(person, hours=[(0, time(9), time(17))], version=seen, by=manager)

    with pytest.raises(EditedMeanwhile):
        set_hours(person, hours=[], version=seen, by=manager)

    assert person.hours.count() == 1
    assert person.hours.get().closes == time(17)


def test_session_status_steps_mind_a_block(block, room, manager):
    enquiry = booked(manager, rooms=[room], status=Status.ENQUIRY)
    block(10, 14)

    with pytest.raises(ClashError, match="blocked for"):
        set_status(enquiry, to=Status.CONFIRMED, by=manager)


def test_block_over_several_days_and_midnight(block, room, manager):
    block(22, 22 + 3 * 24)

    with pytest.raises(ClashError):
        booked(manager, start=46, end=47, rooms=[room])
    assert ranks(booked(manager, start=94, end=95, rooms=[room])) == [1]
    assert Block.objects.get().ends_at - Block.objects.get().starts_at == timedelta(days=3)
