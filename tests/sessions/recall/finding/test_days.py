"""Months and stretches of time as they are typed."""

import calendar
from datetime import date

import pytest

from sessions.recall.finding.days import MONTHS, WEEKDAYS, read_days

TODAY = date(2026, 11, 28)  # a Saturday


def span(text, today=TODAY):
    days, used = read_days(text.split(), today)
    assert used == len(text.split())
    return days.first, days.last


@pytest.mark.parametrize(
    ("asked", "first", "last"),
    [
        ("nov 2026", date(2026, 11, 1), date(2026, 11, 30)),
        ("novmber 2026", date(2026, 11, 1), date(2026, 11, 30)),
        ("feb 2028", date(2028, 2, 1), date(2028, 2, 29)),
        ("2025", date(2025, 1, 1), date(2025, 12, 31)),
        ("spring 2026", date(2026, 3, 1), date(2026, 5, 31)),
        ("winter 2026", date(2025, 12, 1), date(2026, 2, 28)),
        ("last spring", date(2026, 3, 1), date(2026, 5, 31)),
        ("last autumn", date(2025, 9, 1), date(2025, 11, 30)),
        ("this autumn", date(2026, 9, 1), date(2026, 11, 30)),
        ("last winter", date(2025, 12, 1), date(2026, 2, 28)),
        ("last march", date(2026, 3, 1), date(2026, 3, 31)),
        ("last november", date(2025, 11, 1), date(2025, 11, 30)),
        ("last month", date(2026, 10, 1), date(2026, 10, 31)),
        ("next month", date(2026, 12, 1), date(2026, 12, 31)),
        ("last year", date(2025, 1, 1), date(2025, 12, 31)),
        ("last week", date(2026, 11, 16), date(2026, 11, 22)),
        ("this week", date(2026, 11, 23), date(2026, 11, 29)),
        ("last friday", date(2026, 11, 27), date(2026, 11, 27)),
        ("yesterday", date(2026, 11, 27), date(2026, 11, 27)),
        ("20 nov 2026", date(2026, 11, 20), date(2026, 11, 20)),
        ("nov 20th 2026", date(2026, 11, 20), date(2026, 11, 20)),
        ("3rd of march 2026", date(2026, 3, 3), date(2026, 3, 3)),
        ("2026-11-20", date(2026, 11, 20), date(2026, 11, 20)),
    ],
)
def test_periods(asked, first, last):
    assert span(asked) == (first, last)


def test_last_month_of_january_is_december():
    assert span("last month", date(2026, 1, 31)) == (date(2025, 12, 1), date(2025, 12, 31))


@pytest.mark.parametrize(
    ("asked", "holds", "not_"),
    [
        ("march", date(1999, 3, 31), date(1999, 4, 1)),
        ("20 nov", date(2024, 11, 20), date(2024, 11, 21)),
        ("autumn", date(2020, 9, 1), date(2020, 12, 1)),
        ("friday", date(2026, 11, 27), date(2026, 11, 28)),
        ("before christmas", date(2025, 12, 24), date(2025, 12, 25)),
    ],
)
def test_of_any_year(asked, holds, not_):
    days, _ = read_days(asked.split(), TODAY)

    assert days.hold(holds)
    assert not days.hold(not_)


@pytest.mark.parametrize(
    "word", ["lantern", "ma", "marl", "12", "26", "may-be", "springs", "1m1", "last", "31 feb 2026"]
)
def test_what_is_no_time(word):
    if found := read_days(word.split(), TODAY):
        assert word in ("springs", "31 feb 2026"), found  # one letter wrong, and 31 Feb of no year


def test_names_and_weeks_agree_with_the_calendar():
    """Against the standard library: `calendar` for names, `isocalendar` (ISO 8601) for weeks."""
    assert [name.title() for name in MONTHS] == list(calendar.month_name)[1:]
    assert [name.title() for name in WEEKDAYS] == list(calendar.day_name)
    for day in (date(2026, 1, 1), date(2027, 1, 3), TODAY):
        first, last = span("this week", day)
        assert first.isocalendar()[:2] == last.isocalendar()[:2] == day.isocalendar()[:2]
        assert (first.isoweekday(), last.isoweekday()) == (1, 7)
