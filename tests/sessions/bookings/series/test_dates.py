"""The dates of a series on the studio's clock, and what is in their way."""

from datetime import UTC, datetime, time, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.padding import Padding
from sessions.bookings.series.dates import dates_by_rule, local_period, with_what_is_in_the_way
from sessions.bookings.series.rules import Rule, RuleRefused
from tests.factories import (
    BlockFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
    WeeklyHoursFactory,
)

HOUR = timedelta(hours=1)


def session_of(local_start, hours, **more):
    """A session, not saved, that starts then by the studio's clock and lasts so long on the clock."""
    starts_at, ends_at = local_period(local_start, local_start + hours * HOUR)
    return RecordingSession(starts_at=starts_at, ends_at=ends_at, **more)


def weekly(count):
    return Rule("WEEKLY", count=count)


def test_ten_o_clock_stays_ten_o_clock_over_both_clock_changes():
    """Europe/London: UTC+0 until 29 March 2026, UTC+1 until 25 October."""
    spring = dates_by_rule(session_of(datetime(2026, 3, 24, 10), 4), weekly(2), [])
    autumn = dates_by_rule(session_of(datetime(2026, 10, 20, 10), 4), weekly(2), [])

    assert [date.period[0] for date in [*spring, *autumn]] == [
        datetime(2026, 3, 31, 9, tzinfo=UTC),
        datetime(2026, 10, 27, 10, tzinfo=UTC),
    ]


@pytest.mark.parametrize(
    ("start", "elapsed"),
    [(datetime(2026, 3, 21, 22), 11), (datetime(2026, 10, 17, 22), 13), (datetime(2026, 6, 6, 22), 12)],
)  # fmt: skip
def test_night_over_a_clock_change_keeps_its_hours_on_the_clock(start, elapsed):
    """22:00 to 10:00 by the clock is 11 hours over 29 March 2026 and 13 over 25 October."""
    [date] = dates_by_rule(session_of(start, 12), weekly(2), [])

    assert (date.period[1] - date.period[0]) / HOUR == elapsed


def test_date_that_the_clock_does_not_show_is_said():
    """01:30 on 29 March 2026 is left out by the clock, on 25 October it comes twice."""
    [gone, there] = dates_by_rule(session_of(datetime(2026, 3, 22, 1, 30), 4), weekly(3), [])
    [twice] = dates_by_rule(session_of(datetime(2026, 10, 18, 1, 30), 4), weekly(2), [])

    assert str(gone).startswith("There is no 01:30 on Sun 29 Mar 2026")
    assert str(twice).startswith("01:30 on Sun 25 Oct 2026 comes twice")
    assert gone.period is twice.period is None
    assert there.period[0] == datetime(2026, 4, 5, 0, 30, tzinfo=UTC)
    assert gone.in_the_way(status=Status.CONFIRMED, queue_behind=True, all_the_same=True) == [
        str(gone)
    ]


@pytest.mark.parametrize(("hours", "teardown"), [(25, 0), (23, 120)])
def test_session_that_runs_into_the_next_is_refused(hours, teardown):
    session = session_of(datetime(2026, 6, 2, 10), hours)

    with pytest.raises(RuleRefused) as refused:
        dates_by_rule(session, Rule("DAILY", count=3), [Padding(after=teardown)])

    assert refused.value.part == "INTERVAL"
    assert dates_by_rule(session, Rule("DAILY", interval=2, count=3), [Padding(after=teardown)])


@pytest.fixture
def bread_room(db):
    return RoomFactory(name="Bread Room")


@pytest.fixture
def dates(bread_room):
    """Three Tuesdays after the second of June 2026, 10:00 to 14:00 by the studio's clock."""
    return dates_by_rule(session_of(datetime(2026, 6, 2, 10), 4), weekly(4), [])


def taken(date, room, *, after=0, rank=1):
    """A session of four hours, so many hours after the date's."""
    session = RecordingSessionFactory(
        title=f"After {after}", starts_at=date.period[0] + after * HOUR
    )
    return ReservationFactory(session=session, room=room, rank=rank)


def test_every_clash_stands_at_its_date(dates, bread_room):
    taken(dates[0], bread_room, after=2)
    taken(dates[0], bread_room, after=-2)
    taken(dates[1], bread_room, after=4)  # touches its end
    taken(dates[1], bread_room, rank=2)
    taken(dates[1], RoomFactory())
    block = BlockFactory(starts_at=dates[2].period[0] - HOUR)
    ReservationFactory(
        session=None, block=block, room=bread_room, starts_at=block.starts_at, ends_at=block.ends_at
    )

    found = with_what_is_in_the_way(dates, {bread_room: Padding()}, lockout=False)

    assert [[each.by.title for each in date.clashes] for date in found] == [
        ["After -2", "After 2"],
        [],
        [block.title],
    ]
    [clash] = found[2].clashes
    assert str(clash).endswith("Tue 23 Jun 2026, 10:00 to 13:00.")


def test_padding_of_what_is_repeated_clashes_too(dates, bread_room):
    taken(dates[0], bread_room, after=4)

    [found, *_] = with_what_is_in_the_way(dates, {bread_room: Padding(after=30)}, lockout=False)

    assert str(found.clashes[0]).endswith("Tue 9 Jun 2026, 14:00 to 14:30.")


def test_closed_hours_stand_at_their_date_and_not_in_a_lockout(dates, bread_room):
    WeeklyHoursFactory(room=bread_room, weekday=1, opens=time(12), closes=time(22))

    found = with_what_is_in_the_way(dates, {bread_room: Padding()}, lockout=False)
    locked_out = with_what_is_in_the_way(dates, {bread_room: Padding()}, lockout=True)

    assert [len(date.outside) for date in found] == [1, 1, 1]
    assert str(found[1].outside[0]).startswith(
        "Bread Room is closed: Tue 16 Jun 2026, 10:00 to 12:00"
    )
    assert not any(date.outside for date in locked_out)


@pytest.mark.parametrize(
    ("status", "queue_behind", "all_the_same", "in_the_way"),
    [
        (Status.CONFIRMED, False, False, 2),
        (Status.CONFIRMED, True, False, 2),  # what is confirmed does not queue
        (Status.CONFIRMED, False, True, 1),
        (Status.ENQUIRY, False, False, 1 + 1),  # takes no time; it is over already
        (Status.HELD, True, True, 0 + 1),
    ],
)
def test_what_is_in_the_way_depends_on_how_it_is_booked(
    dates, bread_room, status, queue_behind, all_the_same, in_the_way, time_machine_at_the_end
):
    taken(dates[0], bread_room)
    WeeklyHoursFactory(room=bread_room, weekday=1, opens=time(12), closes=time(22))
    [found, *_] = with_what_is_in_the_way(dates, {bread_room: Padding()}, lockout=False)

    sentences = found.in_the_way(
        status=status, queue_behind=queue_behind, all_the_same=all_the_same
    )

    assert len(sentences) == in_the_way


@pytest.fixture
def time_machine_at_the_end(time_machine):
    time_machine.move_to(datetime(2026, 8, 1, tzinfo=UTC))


@pytest.mark.parametrize("number", [1, 3])
def test_preview_costs_two_queries_for_one_date_and_for_three(dates, bread_room, number):
    resources = {bread_room: Padding()} | {UnitFactory(): Padding() for _ in range(number)}
    for date in dates[:number]:
        taken(date, bread_room)
    WeeklyHoursFactory(room=bread_room)

    with CaptureQueriesContext(connection) as queries:
        found = with_what_is_in_the_way(dates[:number], resources, lockout=False)
        [str(clash) for date in found for clash in date.clashes]

    assert sum(len(date.clashes) for date in found) == number
    assert len(queries) == 2
