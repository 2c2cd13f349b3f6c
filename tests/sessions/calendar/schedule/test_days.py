"""Days on the studio's clock (Europe/London).

Clock changes of 2026: forward on 29 March, back on 25 October, at 01:00 UTC (Directive 2000/84/EC,
articles 2 and 3, and the Summer Time Order 2002; the zone data of the system agree). Weeks begin
on Monday (ISO 8601).
"""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from sessions.calendar.schedule.days import (
    clock_change,
    full_hours,
    hours_on,
    month_after,
    month_of,
    period_of,
    week_of,
)
from sessions.periods import comes_twice

FORWARD, BACK, PLAIN = date(2026, 3, 29), date(2026, 10, 25), date(2026, 6, 1)


def utc(day, hour=0, minute=0, month=3):
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


@pytest.mark.parametrize(("day", "hours"), [(FORWARD, 23), (BACK, 25), (PLAIN, 24)])
def test_day_has_its_real_hours(day, hours):
    starts_at, ends_at = period_of(day)

    assert ends_at - starts_at == timedelta(hours=hours)
    assert len(full_hours(day)) == hours


def test_missing_hour_is_not_passed_and_the_double_one_twice():
    shown = {
        day: [f"{timezone.localtime(at):%H}" for at in full_hours(day)][:4]
        for day in (FORWARD, BACK)
    }

    assert shown == {FORWARD: ["00", "02", "03", "04"], BACK: ["00", "01", "01", "02"]}


def test_clock_change_is_named_at_its_instant():
    forward, back = clock_change(FORWARD), clock_change(BACK)

    assert (forward.at, back.at) == (utc(29, 1), utc(25, 1, month=10))
    assert forward.words == (
        "The clocks go forward 1 h: there is no 01:00 to 02:00. This day is 23 h long."
    )
    assert (
        back.words == "The clocks go back 1 h: 01:00 to 02:00 comes twice. This day is 25 h long."
    )
    assert clock_change(PLAIN) is None


def test_clock_change_of_half_an_hour_is_named():
    """Lord Howe Island moves by 30 minutes (IANA time zone database, file australasia)."""
    with timezone.override(ZoneInfo("Australia/Lord_Howe")):
        change = clock_change(date(2026, 10, 4))
        starts_at, ends_at = period_of(date(2026, 10, 4))

    assert ends_at - starts_at == timedelta(hours=23, minutes=30)
    assert change.briefly == "there is no 02:00 to 02:30"


@pytest.mark.parametrize(
    ("at", "twice"),
    [
        (utc(25, 0, 0, month=10), True),  # 01:00 BST
        (utc(25, 1, 59, month=10), True),  # 01:59 GMT
        (utc(25, 2, 0, month=10), False),
        (utc(24, 23, 59, month=10), False),
        (utc(29, 1, 0), False),  # 02:00 BST, right after the missing hour
    ],
)
def test_time_comes_twice_only_in_the_repeated_hour(at, twice):
    assert comes_twice(at) is twice


def test_week_is_monday_to_sunday():
    assert week_of(date(2026, 1, 1)) == [
        date(2025, 12, 29) + count * timedelta(days=1) for count in range(7)
    ]


@pytest.mark.parametrize(
    ("day", "first", "weeks"),
    [
        (date(2026, 2, 15), date(2026, 1, 26), 5),
        (date(2027, 2, 1), date(2027, 2, 1), 4),  # four weeks and not a day more
        (date(2026, 12, 31), date(2026, 11, 30), 5),
        (date(2026, 8, 31), date(2026, 7, 27), 6),
    ],
)
def test_month_holds_whole_weeks(day, first, weeks):
    found = month_of(day)

    assert (found[0][0], len(found)) == (first, weeks)


def test_month_after_goes_over_the_year():
    assert [month_after(date(2026, 12, 31), n) for n in (-12, 1, 2)] == [
        date(2025, 12, 1),
        date(2027, 1, 1),
        date(2027, 2, 1),
    ]


@pytest.mark.parametrize(
    ("starts_at", "ends_at", "words"),
    [
        (utc(1, 9, month=6), utc(1, 13, month=6), "10:00 to 14:00"),
        (utc(1, 21, month=6), utc(1, 23, month=6), "22:00 to midnight"),
        (utc(1, 21, month=6), utc(2, 1, month=6), "22:00, continues to Tue 2 Jun, 02:00"),
        (utc(31, 21, month=5), utc(1, 1, month=6), "continued from Sun 31 May, 22:00, to 02:00"),
        (
            utc(31, 21, month=5),
            utc(2, 1, month=6),
            "continued from Sun 31 May, 22:00, continues to Tue 2 Jun, 02:00",
        ),
    ],
)
def test_period_is_told_as_the_day_sees_it(starts_at, ends_at, words):
    assert hours_on(PLAIN, starts_at, ends_at) == words


def test_period_in_the_double_hour_names_its_offsets():
    assert hours_on(BACK, utc(25, 0, 30, month=10), utc(25, 1, 30, month=10)) == (
        "01:30 BST to 01:30 GMT"
    )
