"""A block over booked time: what sessions lose to it, and have again. One test an exit."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from sessions.bookings.actions import change_session, set_padding, set_status
from sessions.bookings.blocks.actions import change_block, remove_block
from sessions.bookings.clashes import ClashError
from sessions.bookings.models import Block, Reservation, Status
from sessions.bookings.padding import Padding
from tests.factories import ReservationFactory, RoomFactory, UnitFactory

pytestmark = pytest.mark.django_db


def place(session, resource):
    """Its rank, and whether it is missing."""
    [found] = [each for each in session.reservations.for_list() if each.resource == resource]
    return found.rank, found.missing


def changed(session, by, **changes):
    """Saved again with all that it takes."""
    session.refresh_from_db()
    takes = list(session.reservations.for_list())
    kept = {
        "version": session.version,
        "starts_at": session.starts_at,
        "ends_at": session.ends_at,
        "rooms": [each.room for each in takes if each.room],
        "people": [each.person for each in takes if each.person],
        "units": [each.unit for each in takes if each.unit],
    }
    return change_session(session, by=by, **(kept | changes))


def test_session_lists_who_is_away_as_missing_and_keeps_the_rest(book, leave, ulric):
    session = book(people=[ulric])
    before = session.version

    block = leave(9, 12, ulric)

    assert place(session, ulric) == (None, True)
    assert [each.rank for each in session.reservations.filter(room__isnull=False)] == [1]
    assert block.reservations.get().rank == 1
    session.refresh_from_db()
    assert (session.status, session.version) == (Status.CONFIRMED, before + 1)


@pytest.mark.parametrize("kind", ["rooms", "units"])
def test_closed_room_or_blocked_unit_is_missing_like_a_person(book, leave, kind):
    room, unit = RoomFactory(), UnitFactory()
    session = book(rooms=[room], units=[unit])

    leave(9, 12, kind="maintenance", **{kind: [{"rooms": room, "units": unit}[kind]]})

    assert place(session, room) == ((None, True) if kind == "rooms" else (1, False))
    assert place(session, unit) == ((None, True) if kind == "units" else (1, False))


def test_without_being_told_to_a_block_still_refuses(book, leave, ulric):
    session = book(people=[ulric])

    with pytest.raises(ClashError):
        leave(9, 12, ulric, over_bookings=False)

    assert place(session, ulric) == (1, False)
    assert not Block.objects.exists()


def test_what_is_over_is_never_given_up(leave, ulric, book, day):
    """Whoever was there was there: their leave begins after it."""
    past = book(-100, -96, people=[ulric])

    with pytest.raises(ClashError):
        leave(-99, 12, ulric)

    assert place(past, ulric) == (1, False)


def test_leave_over_other_leave_is_refused(leave, ulric):
    leave(9, 12, ulric)

    with pytest.raises(ClashError, match="is blocked for “Away”"):
        leave(11, 14, ulric)


def test_who_stands_behind_moves_up_into_what_the_block_leaves(book, leave, ulric):
    """Leave to 12:00; the session had Ulric to 14:00, and a hold behind it wants him from 13:00."""
    first = book(10, 14, people=[ulric])
    behind = book(13, 16, people=[ulric], status=Status.HELD, queue_behind=True)
    assert place(behind, ulric) == (2, False)

    leave(9, 12, ulric)

    assert place(first, ulric) == (None, True)
    assert place(behind, ulric) == (1, False)


def test_other_changes_of_the_session_do_not_wait_for_a_stand_in(book, leave, ulric, manager):
    session = book(people=[ulric])
    leave(9, 12, ulric)

    changed(session, manager, title="With a new name")
    assert place(session, ulric) == (None, True)

    session.refresh_from_db()
    room = session.reservations.get(room__isnull=False).room
    set_padding(session, version=session.version, padding={room: Padding(30, 0)}, by=manager)
    assert place(session, ulric) == (None, True)

    set_status(session, to=Status.UNDER_WAY, by=manager)
    assert place(session, ulric) == (None, True)


def test_hold_with_somebody_missing_may_be_confirmed(book, leave, ulric, manager):
    session = book(people=[ulric], status=Status.HELD)
    leave(9, 12, ulric)

    set_status(session, to=Status.CONFIRMED, by=manager)

    assert place(session, ulric) == (None, True)


def test_moved_to_a_free_time_it_has_everybody_again(book, leave, ulric, manager, day):
    session = book(people=[ulric])
    leave(9, 12, ulric)

    changed(session, manager, starts_at=day(15), ends_at=day(18))

    assert place(session, ulric) == (1, False)


def test_cancelled_it_misses_nobody(book, leave, ulric, manager):
    session = book(people=[ulric])
    leave(9, 12, ulric)

    set_status(session, to=Status.CANCELLED, by=manager)

    assert place(session, ulric) == (None, False)


def test_block_that_is_removed_gives_back_what_is_confirmed_first(book, leave, ulric, manager):
    """Both had Ulric; while he was away the hold behind one of them moved up into the afternoon."""
    held = book(8, 10, people=[ulric], status=Status.HELD)
    confirmed = book(10, 14, people=[ulric])
    block = leave(6, 15, ulric)
    assert [place(each, ulric) for each in (held, confirmed)] == [(None, True)] * 2
    version = type(confirmed).objects.get(pk=confirmed.pk).version

    remove_block(block, by=manager)

    assert [place(each, ulric) for each in (held, confirmed)] == [(1, False)] * 2
    confirmed.refresh_from_db()
    assert confirmed.version == version + 1


def test_block_that_is_removed_gives_nothing_back_that_is_taken(book, leave, ulric, manager):
    session = book(10, 14, people=[ulric])
    block = leave(9, 12, ulric)
    other = book(13, 15, people=[ulric])

    remove_block(block, by=manager)

    assert place(session, ulric) == (None, True)
    assert place(other, ulric) == (1, False)


def test_block_that_is_changed_takes_and_gives_back(book, leave, ulric, manager, day):
    morning, evening = book(9, 12, people=[ulric]), book(18, 20, people=[ulric])
    block = leave(8, 13, ulric)

    change_block(
        block,
        version=block.version,
        starts_at=day(17),
        ends_at=day(21),
        people=[ulric],
        over_bookings=True,
        by=manager,
    )

    assert place(morning, ulric) == (1, False)
    assert place(evening, ulric) == (None, True)


def test_database_knows_no_rank_of_what_is_missing(ulric):
    with pytest.raises(IntegrityError), transaction.atomic():
        ReservationFactory(missing=True, rank=1)


def test_open_needs_are_those_of_sessions_to_come(book, leave, ulric):
    """Missing people, and units of which they or their supplies are out of service."""
    supply, spare = UnitFactory(), UnitFactory()
    valve = UnitFactory(supply=supply)
    session = book(people=[ulric], units=[valve, spare])
    leave(9, 12, ulric)

    def needs():
        found = Reservation.objects.to_come(timezone.now()).not_to_be_had()
        return {each.resource for each in found.for_list()}

    assert needs() == {ulric}
    for unit in (supply, spare):
        unit.state = "on_the_bench"
        unit.save()
    assert needs() == {ulric, valve, spare}
    spare.state = "in_service"
    spare.save()
    assert needs() == {ulric, valve}
    type(session).objects.update(
        starts_at=timezone.now() - timedelta(days=2), ends_at=timezone.now() - timedelta(days=1)
    )
    assert needs() == set()
