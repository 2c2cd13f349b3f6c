"""The line: places, moving up, and both against a model that goes step by step."""

from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sessions.bookings.holds.line import end_of_line, line_of, move_up, moved_up
from sessions.bookings.models import Block, RecordingSession, Reservation
from tests.factories import RecordingSessionFactory, ReservationFactory, RoomFactory
from tests.sessions.bookings.days import hours

QUARTERS = 40  # of an hour, enough for lines of several holds that only partly overlap


def stand(room, start, end, rank):
    starts_at, ends_at = hours(start, end)
    session = RecordingSessionFactory(starts_at=starts_at, ends_at=ends_at)
    return ReservationFactory(session=session, room=room, rank=rank)


def in_memory(start, end, rank):
    starts_at, ends_at = hours(start, end)
    return Reservation(starts_at=starts_at, ends_at=ends_at, rank=rank)


# The model: minutes (here quarters of an hour) and single steps, nothing clever


def quarters(hold):
    return set(range(hold.start, hold.end))


def is_free(holds, hold, rank):
    return not any(
        other is not hold and other.rank == rank and quarters(other) & quarters(hold)
        for other in holds
    )


def step_until_nobody_can(holds):
    while True:
        movable = [each for each in holds if each.rank > 1 and is_free(holds, each, each.rank - 1)]
        if not movable:
            return [each.rank for each in holds]
        movable[0].rank -= 1


@st.composite
def lines(draw):
    """Any line that the database lets stand, with gaps too: no two of one rank share time."""
    holds = []
    for _ in range(draw(st.integers(1, 12))):
        start = draw(st.integers(0, QUARTERS - 1))
        hold = SimpleNamespace(
            start=start,
            end=draw(st.integers(start + 1, min(QUARTERS, start + 16))),
            rank=draw(st.integers(1, 6)),
        )
        if is_free(holds, hold, hold.rank):
            holds.append(hold)
    return holds


@given(lines())
def test_moved_up_agrees_with_single_steps(holds):
    line = [in_memory(each.start / 4, each.end / 4, each.rank) for each in holds]

    moves = moved_up(line)

    occupied = {id(each): each.rank for each in line}
    for reservation, rank in moves:
        assert all(
            occupied[id(other)] != rank
            for other in line
            if other is not reservation and other.overlaps(reservation)
        ), "moved into a place that was not free yet"
        assert rank < reservation.rank
        occupied[id(reservation)] = rank
    assert list(occupied.values()) == step_until_nobody_can(holds)


def test_moved_up_lets_nobody_pass():
    """
    rank 1               [12 a 14)
    rank 2        [10 b    13)        a is in its way
    rank 3     [9 c  11)              rank 1 is free for it, but b asked before
    """
    line = [in_memory(12, 14, 1), in_memory(10, 13, 2), in_memory(9, 11, 3)]

    assert moved_up(line) == []


@pytest.mark.django_db
def test_move_up_reaches_those_behind_those_who_moved():
    """
    rank 1  [10 gone 12)
    rank 2        [11 b    14)
    rank 3               [13 c   16)     shares no time with what was given up
    rank 4                     [15 d 17)
    """
    room = RoomFactory()
    b, c, d = stand(room, 11, 14, 2), stand(room, 13, 16, 3), stand(room, 15, 17, 4)

    moved = move_up(room, *hours(10, 12))

    assert [(each, each.rank) for each in moved] == [(b, 1), (c, 2), (d, 3)]
    assert list(Reservation.objects.order_by("pk").values_list("rank", flat=True)) == [1, 2, 3]


@pytest.mark.django_db
def test_move_up_leaves_other_rooms_alone():
    other = stand(RoomFactory(), 10, 12, 2)

    assert move_up(RoomFactory(), *hours(10, 12)) == []
    assert Reservation.objects.get() == other


@pytest.mark.django_db
def test_end_of_line_counts_only_who_wants_the_time():
    room, free = RoomFactory(), RoomFactory()
    stand(room, 10, 14, 1)
    stand(room, 13, 16, 2)
    stand(room, 13, 16, None)

    assert end_of_line({room: hours(14, 15), free: hours(14, 15)}) == {room: 3, free: 1}
    assert end_of_line({room: hours(10, 13), free: hours(14, 15)}) == {room: 2, free: 1}
    assert end_of_line({room: hours(16, 17), free: hours(9, 20)}) == {room: 1, free: 1}
    assert end_of_line({}) == {}


@pytest.mark.django_db
def test_line_of_names_those_who_want_the_time_in_order(django_assert_num_queries):
    room = RoomFactory()
    own = stand(room, 10, 14, 2)
    third, first = stand(room, 13, 16, 3), stand(room, 9, 11, 1)
    stand(room, 14, 16, 1)  # touches
    session = RecordingSession.objects.for_list().get(pk=own.session.pk)

    with django_assert_num_queries(1):
        line = line_of(session, among=RecordingSession.objects.all(), blocks=Block.objects.none())

    assert line == {room: [first, third]}
    assert line_of(session, among=RecordingSession.objects.none(), blocks=Block.objects.all()) == {
        room: []
    }
