from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sessions.bookings.models import Block, Reservation, Status
from sessions.reports.usage.hours import _by_month, hours_of, month_starts, use_of_year
from tests.factories import (
    TEN_O_CLOCK,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
)

HOUR = timedelta(hours=1)


def utc(*when):
    return datetime(*when, tzinfo=UTC)


def taken(starts_at, ends_at, *, rank=1, status=Status.CONFIRMED, **of):
    session = RecordingSessionFactory(starts_at=starts_at, ends_at=ends_at, status=status)
    return ReservationFactory(session=session, rank=rank, **of)


def months_of(room, year=2026) -> list[float]:
    rooms = use_of_year(year)[0]
    [use] = [use for use in rooms.uses if use.resource == room]
    return [month / HOUR for month in use.months]


def test_months_begin_at_midnight_on_the_studios_clock():
    starts = month_starts(2026)

    assert len(starts) == 13
    assert starts[0] == utc(2026, 1, 1)
    assert starts[6] == utc(2026, 6, 30, 23)  # July begins in summer time
    assert starts[12] == utc(2027, 1, 1)


@pytest.mark.django_db
def test_hours_count_in_the_month_in_which_they_lie_there():
    room = RoomFactory()
    taken(utc(2026, 6, 30, 21), utc(2026, 7, 1, 2), room=room)  # 22:00 to 03:00 there

    assert months_of(room)[5:7] == [2, 3]


@pytest.mark.django_db
def test_nights_of_the_clock_changes_have_their_own_length():
    """Directive 2000/84/EC: 22:00 to 10:00 over 29 March and 25 October 2026 is 11 and 13 hours."""
    room = RoomFactory()
    taken(utc(2026, 3, 28, 22), utc(2026, 3, 29, 9), room=room)
    taken(utc(2026, 10, 24, 21), utc(2026, 10, 25, 10), room=room)

    months = months_of(room)

    assert (months[2], months[9]) == (11, 13)


@pytest.mark.django_db
def test_session_over_the_turn_of_the_year_counts_in_both():
    room = RoomFactory()
    taken(utc(2026, 12, 31, 20), utc(2027, 1, 1, 6), room=room)

    assert months_of(room)[11] == 4
    assert months_of(room, 2027)[0] == 6
    assert sum(months_of(room, 2025)) == 0


@pytest.mark.django_db
def test_only_first_place_of_what_is_certain_counts():
    room = RoomFactory()
    for day, status in enumerate(Status, start=1):
        taken(utc(2026, 6, day, 10), utc(2026, 6, day, 11), status=status, room=room)
    taken(utc(2026, 6, 20, 10), utc(2026, 6, 20, 11), rank=2, room=room)
    block = Block.objects.create(
        kind="holiday",
        title="Fair",
        starts_at=TEN_O_CLOCK + 5 * HOUR,
        ends_at=TEN_O_CLOCK + 9 * HOUR,
    )
    Reservation.objects.create(
        block=block, room=room, rank=1, starts_at=block.starts_at, ends_at=block.ends_at
    )

    assert months_of(room)[5] == 3  # confirmed, under way, wrapped


@pytest.mark.django_db
def test_rooms_people_and_equipment_stand_apart_and_only_rooms_unused():
    unused, person, unit = RoomFactory(), PersonFactory(), UnitFactory()
    PersonFactory()
    UnitFactory()
    taken(TEN_O_CLOCK, TEN_O_CLOCK + HOUR, room=None, person=person)
    taken(TEN_O_CLOCK, TEN_O_CLOCK + 2 * HOUR, room=None, unit=unit)

    rooms, people, equipment = use_of_year(2026)

    assert [use.resource for use in rooms.uses] == [unused]
    assert [(use.resource, use.total) for use in people.uses] == [(person, HOUR)]
    assert [(use.resource, use.total) for use in equipment.uses] == [(unit, 2 * HOUR)]
    assert rooms.total == timedelta(0)


@pytest.mark.parametrize(
    ("minutes", "hours"), [(0, "0.00"), (15, "0.25"), (50, "0.83"), (60 * 744, "744.00")]
)
def test_hours_are_given_to_two_places(minutes, hours):
    assert hours_of(timedelta(minutes=minutes)) == Decimal(hours)


@given(
    start=st.integers(0, 60 * 24 * 365 - 2),
    length=st.integers(1, 60 * 24 * 90),
)
def test_shares_of_the_months_make_up_the_whole_within_the_year(start, length):
    starts = month_starts(2026)
    starts_at = starts[0] + timedelta(minutes=start)
    ends_at = starts_at + timedelta(minutes=length)

    shares = _by_month(starts_at, ends_at, starts)

    assert sum(shares, timedelta(0)) == min(ends_at, starts[-1]) - starts_at


@pytest.mark.django_db
@pytest.mark.parametrize("rows", [1, 3])
def test_year_costs_the_same_queries_for_any_number_of_rows(rows, django_assert_num_queries):
    for _ in range(rows):
        taken(TEN_O_CLOCK, TEN_O_CLOCK + HOUR, room=RoomFactory())
        taken(TEN_O_CLOCK, TEN_O_CLOCK + HOUR, room=None, person=PersonFactory())
        taken(TEN_O_CLOCK, TEN_O_CLOCK + HOUR, room=None, unit=UnitFactory())

    with django_assert_num_queries(4):
        for kind in use_of_year(2026):
            [f"{use.resource}" for use in kind.uses]
