"""Recurrence against RFC 5545 (2009), the examples of section 3.8.5.3.

All of them start in 1997 at 9:00 in New York; the RFC gives the days, over both clock changes.
"""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from sessions.bookings.series.dates import local_period
from sessions.bookings.series.rules import Rule

NEW_YORK = ZoneInfo("America/New_York")


@pytest.fixture(autouse=True)
def _in_new_york():
    with timezone.override(NEW_YORK):
        yield


def days(*months):
    """`days((1997, 9, "2 4"))`: the second and the fourth of September."""
    return [date(year, month, int(day)) for year, month, all in months for day in all.split()]


@pytest.mark.parametrize(
    ("first", "rule", "expected"),
    [
        (
            (1997, 9, 2),
            "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH",
            days((1997, 9, "2 4 16 18 30"), (1997, 10, "2 14 16")),
        ),
        ((1997, 9, 2), "FREQ=DAILY;COUNT=10", days((1997, 9, "2 3 4 5 6 7 8 9 10 11"))),
        (
            (1997, 9, 2),
            "FREQ=DAILY;INTERVAL=10;COUNT=5",
            days((1997, 9, "2 12 22"), (1997, 10, "2 12")),
        ),
        (
            (1997, 9, 2),
            "FREQ=WEEKLY;COUNT=10",
            days((1997, 9, "2 9 16 23 30"), (1997, 10, "7 14 21 28"), (1997, 11, "4")),
        ),
        (
            (1997, 9, 2),
            "FREQ=WEEKLY;UNTIL=19971224T000000Z",
            days(
                (1997, 9, "2 9 16 23 30"),
                (1997, 10, "7 14 21 28"),
                (1997, 11, "4 11 18 25"),
                (1997, 12, "2 9 16 23"),
            ),
        ),
        (
            (1997, 9, 2),
            "FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH",
            days((1997, 9, "2 4 9 11 16 18 23 25 30"), (1997, 10, "2")),
        ),
        (
            (1997, 9, 1),
            "FREQ=WEEKLY;INTERVAL=2;UNTIL=19971224T000000Z;WKST=SU;BYDAY=MO,WE,FR",
            days(
                (1997, 9, "1 3 5 15 17 19 29"),
                (1997, 10, "1 3 13 15 17 27 29 31"),
                (1997, 11, "10 12 14 24 26 28"),
                (1997, 12, "8 10 12 22"),
            ),
        ),
        (
            (1997, 9, 5),
            "FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
            days(
                (1997, 9, "5"),
                (1997, 10, "3"),
                (1997, 11, "7"),
                (1997, 12, "5"),
                (1998, 1, "2"),
                (1998, 2, "6"),
                (1998, 3, "6"),
                (1998, 4, "3"),
                (1998, 5, "1"),
                (1998, 6, "5"),
            ),
        ),
        (
            (1997, 9, 7),
            "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU",
            days(
                (1997, 9, "7 28"),
                (1997, 11, "2 30"),
                (1998, 1, "4 25"),
                (1998, 3, "1 29"),
                (1998, 5, "3 31"),
            ),
        ),
        (
            (1997, 9, 22),
            "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO",
            days(
                (1997, 9, "22"),
                (1997, 10, "20"),
                (1997, 11, "17"),
                (1997, 12, "22"),
                (1998, 1, "19"),
                (1998, 2, "16"),
            ),
        ),
        (
            (1997, 8, 5),
            "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
            days((1997, 8, "5 10 19 24")),
        ),
        (
            (1997, 8, 5),
            "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
            days((1997, 8, "5 17 19 31")),
        ),
    ],
)
def test_days_of_the_examples_in_the_rfc(first, rule, expected):
    starts = Rule.parse(rule).starts(datetime(*first, 9))

    assert [start.date() for start in starts] == expected
    assert {start.hour for start in starts} == {9}


def test_every_member_stays_at_nine_over_the_clock_change():
    """RFC 5545 gives 9:00 EDT (UTC-4) up to 21 October and 9:00 EST (UTC-5) from the 28th."""
    starts = Rule.parse("FREQ=WEEKLY;COUNT=10").starts(datetime(1997, 9, 2, 9))

    hours = [local_period(start, start.replace(hour=10))[0].hour for start in starts]

    assert hours == [13] * 8 + [14] * 2


def test_weekdays_with_and_without_a_place_are_both_held():
    """RFC 5545, section 3.3.10: BYDAY is a list of days, all of which recur; a number picks one
    of them within the month. So 1TU,FR is the first Tuesday and every Friday (calendar of 1997)."""
    starts = Rule.parse("FREQ=MONTHLY;COUNT=7;BYDAY=1TU,FR").starts(datetime(1997, 9, 2, 9))

    assert [start.date() for start in starts] == days((1997, 9, "2 5 12 19 26"), (1997, 10, "3 7"))
