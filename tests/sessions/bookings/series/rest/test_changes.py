"""Where a move leads each date, on the studio's clock (Europe/London)."""

from datetime import UTC, datetime, time, timedelta

import pytest

from sessions.bookings.models import RecordingSession
from sessions.bookings.series.dates import local_period
from sessions.bookings.series.rest.changes import Move

HOUR = timedelta(hours=1)


def session_of(local_start, hours=4):
    starts_at, ends_at = local_period(local_start, local_start + hours * HOUR)
    return RecordingSession(starts_at=starts_at, ends_at=ends_at)


@pytest.mark.parametrize(
    ("move", "period"),
    [
        (Move(days=7), (datetime(2026, 6, 9, 9), datetime(2026, 6, 9, 13))),
        (Move(days=-1, minutes=-90), (datetime(2026, 6, 1, 7, 30), datetime(2026, 6, 1, 11, 30))),
        (Move(minutes=45), (datetime(2026, 6, 2, 9, 45), datetime(2026, 6, 2, 13, 45))),
        (Move(weekday=4), (datetime(2026, 6, 5, 9), datetime(2026, 6, 5, 13))),
        (Move(weekday=0), (datetime(2026, 6, 1, 9), datetime(2026, 6, 1, 13))),
        (Move(starts=time(18)), (datetime(2026, 6, 2, 17), datetime(2026, 6, 2, 21))),
        (Move(weekday=6, starts=time(22)), (datetime(2026, 6, 7, 21), datetime(2026, 6, 8, 1))),
    ],
)
def test_move_of_a_tuesday_from_ten_to_two(move, period):
    """In summer the studio's clock is an hour ahead of UTC."""
    new = move.new_period(session_of(datetime(2026, 6, 2, 10)))

    assert [at.replace(tzinfo=None) for at in new] == list(period)


@pytest.mark.parametrize("starts", [datetime(2026, 3, 24, 10), datetime(2026, 10, 20, 10)])
def test_ten_o_clock_stays_ten_o_clock_over_both_clock_changes(starts):
    """UTC+0 until 29 March 2026, UTC+1 until 25 October."""
    old = session_of(starts)

    start, end = Move(days=7).new_period(old)

    assert start - old.starts_at == 7 * 24 * HOUR + (-HOUR if starts.month == 3 else HOUR)
    assert end - start == 4 * HOUR


@pytest.mark.parametrize(
    ("start", "elapsed"), [(datetime(2026, 3, 21, 22), 11), (datetime(2026, 10, 17, 22), 13)]
)
def test_night_that_moves_over_a_clock_change_keeps_its_hours_on_the_clock(start, elapsed):
    """22:00 to 10:00 by the clock is 11 hours over 29 March 2026 and 13 over 25 October."""
    new = Move(days=7).new_period(session_of(start, 12))

    assert (new[1] - new[0]) / HOUR == elapsed


@pytest.mark.parametrize(
    ("start", "sentence"),
    [
        (datetime(2026, 3, 28, 1, 30), "There is no 01:30 on Sun 29 Mar 2026"),
        (datetime(2026, 10, 24, 1, 30), "01:30 on Sun 25 Oct 2026 comes twice"),
    ],
)
def test_time_that_the_clock_does_not_show_once_is_said(start, sentence):
    with pytest.raises(ValueError, match=sentence):
        Move(days=1).new_period(session_of(start))


def test_length_of_a_session_across_the_end_of_summer_time_is_that_on_the_clock():
    """Out of the night of the change a session of 13 hours by elapsed time is one of 12 again."""
    starts_at, ends_at = (
        datetime(2026, 10, 24, 21, tzinfo=UTC),
        datetime(2026, 10, 25, 10, tzinfo=UTC),
    )

    new = Move(days=7).new_period(RecordingSession(starts_at=starts_at, ends_at=ends_at))

    assert new == (datetime(2026, 10, 31, 22, tzinfo=UTC), datetime(2026, 11, 1, 10, tzinfo=UTC))


@pytest.mark.parametrize(
    ("move", "words"),
    [
        (Move(days=1), "1 day later"),
        (Move(days=-7, minutes=-90), "7 days and 1 h 30 min earlier"),
        (Move(minutes=15), "15 min later"),
        (Move(weekday=3), "to Thursday"),
        (Move(starts=time(18)), "to 18:00"),
        (Move(weekday=3, starts=time(9, 30)), "to Thursday at 09:30"),
    ],
)
def test_move_in_words(move, words):
    assert move.in_words == words
