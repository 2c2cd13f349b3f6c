"""Durations and words over clock changes, Europe/London.

The lengths of 22:00 to 10:00 over 29 March 2026 (11 h) and 25 October 2026 (13 h) follow from the
zone's rules: the tz database, region Europe/London (rule EU: last Sunday of March and October,
01:00 UTC).
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sessions.bookings.models import RecordingSession
from sessions.periods import (
    days_in_words,
    duration_in_words,
    instant_of,
    moment_in_words,
    moved_as_a_whole,
    period_in_words,
    why_no_instant,
)
from tests.factories import RecordingSessionFactory

LONDON = ZoneInfo("Europe/London")


def night(month, day):
    starts_at = datetime(2026, month, day, 22, tzinfo=LONDON)
    return starts_at, starts_at + timedelta(hours=12)  # wall time: Python adds on the clock's face


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("month", "day", "length"), [(3, 28, "11 h"), (10, 24, "13 h"), (6, 1, "12 h")]
)
def test_duration_is_what_has_really_passed(month, day, length):
    starts_at, ends_at = night(month, day)
    made = RecordingSessionFactory(starts_at=starts_at, ends_at=ends_at)

    assert RecordingSession.objects.get(pk=made.pk).duration_in_words == length


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(45, "45 min"), (60, "1 h"), (90, "1 h 30 min"), (26 * 60, "26 h"), (0, "0 min")],
)
def test_duration_in_words(minutes, words):
    assert duration_in_words(timedelta(minutes=minutes)) == words


def test_period_in_words_names_the_day_once():
    starts_at = datetime(2026, 6, 1, 10, tzinfo=LONDON)

    assert period_in_words(starts_at, starts_at + timedelta(hours=4)) == (
        "Mon 1 Jun 2026, 10:00 to 14:00"
    )


@pytest.mark.parametrize(
    ("starts", "ends", "words"),
    [
        ((6, 1), (6, 2), "Mon 1 Jun 2026"),
        ((6, 1), (6, 4), "Mon 1 Jun 2026 to Wed 3 Jun 2026"),
        ((3, 28), (3, 30), "Sat 28 Mar 2026 to Sun 29 Mar 2026"),  # the clocks change
        ((6, 1, 9), (6, 2), "Mon 1 Jun 2026, 09:00 to Tue 2 Jun 2026, 00:00"),
    ],
)
def test_days_in_words_counts_the_last_day_in(starts, ends, words):
    period = [datetime(2026, *each, tzinfo=LONDON) for each in (starts, ends)]

    assert days_in_words(*period) == words


def test_period_in_words_names_both_days_over_midnight():
    assert period_in_words(*night(6, 1)) == "Mon 1 Jun 2026, 22:00 to Tue 2 Jun 2026, 10:00"


def test_period_in_words_names_the_zone_where_the_clocks_change():
    assert period_in_words(*night(3, 28)) == (
        "Sat 28 Mar 2026, 22:00 GMT to Sun 29 Mar 2026, 10:00 BST"
    )


def test_words_name_the_zone_in_the_hour_that_comes_twice():
    first = datetime(2026, 10, 25, 1, 15, tzinfo=LONDON)
    second = first.replace(fold=1)
    quarter = timedelta(minutes=15)

    assert period_in_words(first, first + quarter) == "Sun 25 Oct 2026, 01:15 BST to 01:30 BST"
    assert moment_in_words(second) == "Sun 25 Oct 2026, 01:15 GMT"
    assert moment_in_words(second + timedelta(hours=2)) == "Sun 25 Oct 2026, 03:15"


def test_why_no_instant_tells_a_gap_from_a_repeated_hour():
    """tz database, Europe/London 2026: 01:00 GMT becomes 02:00 BST; 02:00 BST becomes 01:00 GMT."""
    assert why_no_instant(datetime(2026, 3, 29, 1, 30)) == (
        "There is no 01:30 on Sun 29 Mar 2026: the clocks go forward 1 h over it. "
        "Give a time before or after that."
    )
    assert why_no_instant(datetime(2026, 10, 25, 1, 30)) == (
        "01:30 on Sun 25 Oct 2026 comes twice: the clocks go back 1 h. Give a time before or after "
        "the part of the night that is repeated."
    )


#: Two years about four changes of the clocks.
MOMENTS = st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31)).map(
    lambda at: at.replace(second=0, microsecond=0, tzinfo=UTC)
)
HOURS = st.integers(1, 24 * 20).map(lambda quarters: quarters * timedelta(minutes=15))


@given(MOMENTS)
def test_instant_of_a_time_on_the_clock_is_in_utc_and_reads_as_that_time(at):
    shown = at.astimezone(LONDON).replace(tzinfo=None)

    found = instant_of(shown)

    assert found.utcoffset() == timedelta(0)
    assert found.astimezone(LONDON).replace(tzinfo=None, fold=0) == shown.replace(fold=0)


@given(MOMENTS, HOURS, st.integers(-400, 400), HOURS, HOURS)
def test_what_moves_with_a_period_keeps_its_times_of_day(at, length, days, since, until):
    """A period moved by whole days on the clock; what lies in it moves by as many."""
    old = at, at + length
    new = tuple(shifted(each, days) for each in old)
    inner = at + min(since, until), at + max(since, until) + timedelta(minutes=15)

    moved = moved_as_a_whole(old, new)(inner)

    assert moved[0] < moved[1]
    for before, after in zip(inner, moved, strict=True):
        wanted = shifted(before, days)
        in_a_gap = wanted.astimezone(LONDON).time() != before.astimezone(LONDON).time()
        assert after == wanted or in_a_gap


def shifted(at: datetime, days: int) -> datetime:
    """So many days later on the clock, by Python's own zone arithmetic."""
    local = at.astimezone(LONDON).replace(fold=0)
    return (local + timedelta(days=days)).astimezone(UTC)


def test_period_that_keeps_its_elapsed_length_moves_what_lies_in_it_as_long():
    """24 hours over 25 October 2026, typed as 11:00 to 10:00."""
    old = instant_of(datetime(2026, 10, 20, 11)), instant_of(datetime(2026, 10, 21, 11))
    new = instant_of(datetime(2026, 10, 24, 11)), instant_of(datetime(2026, 10, 25, 10))

    assert moved_as_a_whole(old, new)(old) == new


def test_period_of_which_only_an_end_moves_moves_nothing():
    old = instant_of(datetime(2026, 6, 1, 11)), instant_of(datetime(2026, 6, 2, 11))

    assert moved_as_a_whole(old, (old[0], old[1] + timedelta(hours=1))) is None


def test_hours_that_fall_into_a_gap_of_the_clock_keep_their_length():
    """On 29 March 2026 the clock goes from 01:00 GMT to 02:00 BST: 01:50 is 02:50 then, after 02:10."""
    old = instant_of(datetime(2026, 3, 28, 0)), instant_of(datetime(2026, 3, 28, 20))
    new = instant_of(datetime(2026, 3, 29, 0)), instant_of(datetime(2026, 3, 29, 20))
    inner = instant_of(datetime(2026, 3, 28, 1, 50)), instant_of(datetime(2026, 3, 28, 2, 10))

    starts_at, ends_at = moved_as_a_whole(old, new)(inner)

    assert ends_at - starts_at == timedelta(minutes=20)
