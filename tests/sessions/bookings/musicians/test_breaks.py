from datetime import UTC, datetime

import pytest

from sessions.bookings.musicians.breaks import NotBreaks, breaks_of, breaks_text

TEN = datetime(2026, 6, 1, 9, 0, 40, tzinfo=UTC)  # 10:00:40 in London, British Summer Time


def utc(day, hour, minute=0, month=6):
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


def test_breaks_are_read_on_the_studios_clock_and_over_midnight():
    read = breaks_of("13:00 to 14:00; 23:45-00:15, 2:30 on", TEN)

    assert read == [
        (utc(1, 12), utc(1, 13)),
        (utc(1, 22, 45), utc(1, 23, 15)),
        (utc(2, 1, 30), None),
    ]
    assert breaks_text(read) == "13:00 to 14:00, 23:45 to 00:15, 02:30 on"


def test_break_may_begin_in_the_minute_in_which_they_came():
    assert breaks_of("10:00 to 10:05", TEN) == [(utc(1, 9), utc(1, 9, 5))]


def test_break_after_the_clocks_went_back_is_in_the_second_of_two_hours():
    """25 October 2026 in London: 01:00 to 02:00 comes twice (tz database, europe: EU rules)."""
    came = datetime(2026, 10, 25, 1, 10, tzinfo=UTC)  # 01:10 GMT, the second

    assert breaks_of("1:30 to 1:45", came) == [(utc(25, 1, 30, 10), utc(25, 1, 45, 10))]


@pytest.mark.parametrize("typed", ["lunch", "13 to 14", "25:00 to 26:00", "13:00"])
def test_what_is_no_break_is_refused(typed):
    with pytest.raises(NotBreaks):
        breaks_of(typed, TEN)
