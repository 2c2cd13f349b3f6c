from datetime import UTC, datetime, time, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sessions.bookings.models import Block, Reservation, Status
from sessions.reports.usage.hours import (
    by_month,
    in_hours,
    in_percent,
    month_starts,
    use_of_year,
)
from sessions.rooms.models import Weekday, WeeklyHours
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
    assert in_hours(timedelta(minutes=minutes)) == Decimal(hours)


@given(
    start=st.integers(0, 60 * 24 * 365 - 2),
    length=st.integers(1, 60 * 24 * 90),
)
def test_shares_of_the_months_make_up_the_whole_within_the_year(start, length):
    starts = month_starts(2026)
    starts_at = starts[0] + timedelta(minutes=start)
    ends_at = starts_at + timedelta(minutes=length)

    shares = by_month([(starts_at, ends_at)], starts)

    assert sum(shares, timedelta(0)) == min(ends_at, starts[-1]) - starts_at


@pytest.mark.django_db
@pytest.mark.parametrize("rows", [1, 3])
def test_year_costs_the_same_queries_for_any_number_of_rows(rows, django_assert_num_queries):
    for _ in range(rows):
        taken(TEN_O_CLOCK, TEN_O_CLOCK + HOUR, room=RoomFactory())
        taken(TEN_O_CLOCK, TEN_O_CLOCK + HOUR, room=None, person=PersonFactory())
        taken(TEN_O_CLOCK, TEN_O_CLOCK + HOUR, room=None, unit=UnitFactory())

    with django_assert_num_queries(5):
        for kind in use_of_year(2026):
            [f"{use.resource}" for use in kind.uses]


def opened(opens, closes, **of):
    for day in Weekday:
        WeeklyHours.objects.create(weekday=day, opens=opens, closes=closes, **of)


def use_of(resource, year=2026):
    return next(use for kind in use_of_year(year) for use in kind.uses if use.resource == resource)


@pytest.mark.django_db
def test_share_is_of_the_open_hours_and_what_lies_outside_is_in_the_hours_alone():
    """June: 30 days of 10 hours; 10:00 to 20:00 there is 09:00 to 19:00 in UTC."""
    room = RoomFactory()
    opened(time(10), time(20), room=room)
    taken(utc(2026, 6, 1, 9), utc(2026, 6, 1, 21), room=room)  # two hours past closing
    taken(utc(2026, 6, 2, 9), utc(2026, 6, 4, 9), room=room)  # overnight twice: 2 of 10 h each

    use = use_of(room)

    assert (use.months[5] / HOUR, use.open[5] / HOUR, use.used_open[5] / HOUR) == (60, 300, 30)
    assert (use.percents[5], use.percents[6], use.percent) == (10, 0, 1)


@pytest.mark.django_db
def test_closures_and_leave_are_no_open_hours():
    person = PersonFactory(bookable=True)
    opened(time(10), time(20), person=person)
    block = Block.objects.create(
        kind="leave", title="Away", starts_at=utc(2026, 5, 31, 23), ends_at=utc(2026, 6, 15, 23)
    )
    ReservationFactory(
        session=None,
        block=block,
        room=None,
        person=person,
        starts_at=block.starts_at,
        ends_at=block.ends_at,
    )
    taken(utc(2026, 6, 20, 9), utc(2026, 6, 20, 19), room=None, person=person)

    use = use_of(person)

    assert (use.open[5] / HOUR, use.used_open[5] / HOUR, use.percents[5]) == (150, 10, 7)


@pytest.mark.django_db
def test_day_on_which_the_clocks_go_back_has_an_hour_more():
    """Directive 2000/84/EC: a room open around the clock is open for 745 hours in October 2026 and for
    743 in March."""
    room = RoomFactory()
    opened(time(0), time(0), room=room)

    use = use_of(room)

    assert (use.open[2] / HOUR, use.open[9] / HOUR) == (743, 745)


@pytest.mark.django_db
def test_what_has_no_hours_has_no_share():
    use = use_of(RoomFactory())

    assert (use.percents, use.percent) == ([None] * 12, None)


@pytest.mark.parametrize(
    ("part", "whole", "percent"),
    [(0, 5, 0), (14, 21, 67), (1, 8, 13), (996, 1000, 99), (5, 5, 100), (0, 0, None)],
)
def test_per_cent_is_all_only_where_it_is_all(part, whole, percent):
    """Half goes up, as IEEE 754-2019, 4.3.1 calls to nearest, ties away: 12.5 is 13."""
    assert in_percent(part, whole) == percent
