"""Recurrence rules: reading, writing, bounds. Against the RFC's own examples: tests/published."""

from datetime import UTC, datetime

import pytest

from sessions.bookings.series.rules import WEEKDAYS, Day, Rule, RuleRefused

TUESDAY = datetime(2026, 6, 2, 10)
EVERY_PLACE = ",".join(
    f"{place}{day}" for place in (1, 2, 3, 4, 5, -1, -2, -3, -4, -5) for day in WEEKDAYS
)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "“” is not part of a rule. Write it like FREQ=WEEKLY"),
        ("every tuesday", "“EVERY TUESDAY” is not part of a rule."),
        ("INTERVAL=2;COUNT=4", "FREQ is missing."),
        ("FREQ=YEARLY;COUNT=4", "FREQ is one of DAILY, WEEKLY, MONTHLY, not “YEARLY”."),
        ("FREQ=WEEKLY;COUNT=4;COUNT=5", "COUNT appears twice in this rule."),
        ("FREQ=WEEKLY;COUNT=4;BYHOUR=9", "“BYHOUR” is not supported."),
        ("FREQ=WEEKLY;COUNT=1", "COUNT is a number from 2 to 60, not “1”."),
        ("FREQ=WEEKLY;COUNT=61", "COUNT is a number from 2 to 60, not “61”."),
        ("FREQ=WEEKLY;COUNT=-4", "COUNT is a number from 2 to 60, not “-4”."),
        ("FREQ=WEEKLY;COUNT=٤", "COUNT is a number from 2 to 60, not “٤”."),
        ("FREQ=WEEKLY;INTERVAL=0;COUNT=4", "INTERVAL is a number from 1 to 99, not “0”."),
        ("FREQ=WEEKLY", "Enter either the number of sessions or the last day"),
        (
            "FREQ=WEEKLY;COUNT=4;UNTIL=20261224",
            "Enter either the number of sessions or the last day",
        ),
        ("FREQ=WEEKLY;UNTIL=20261301", "UNTIL is a day such as 20261224"),
        ("FREQ=WEEKLY;UNTIL=20261224T100000", "UNTIL is a day such as 20261224"),
        ("FREQ=WEEKLY;UNTIL=99991231", "A series is two years long at most"),
        ("FREQ=WEEKLY;COUNT=4;BYDAY=TUE", "BYDAY is days such as TU,TH"),
        ("FREQ=WEEKLY;COUNT=4;BYDAY=", "BYDAY is days such as TU,TH"),
        ("FREQ=WEEKLY;COUNT=4;BYDAY=2TU", "A numbered weekday such as 2TU needs"),
        ("FREQ=WEEKLY;COUNT=4;WKST=XX", "WKST is one of MO, TU"),
        ("FREQ=WEEKLY;COUNT=4;BYDAY=WE", "The session itself is on Tue 2 Jun 2026"),
        ("FREQ=MONTHLY;COUNT=4;BYDAY=2TU", "The session itself is on Tue 2 Jun 2026"),
        ("FREQ=DAILY;UNTIL=20261224", "That is more than 60 sessions"),
        ("FREQ=MONTHLY;COUNT=60", "The last would be after Fri 2 Jun 2028"),
        ("FREQ=WEEKLY;UNTIL=20260605", "There is no second session by then."),
        ("FREQ=WEEKLY;UNTIL=20200605", "There is no second session by then."),
        (
            f"FREQ=MONTHLY;COUNT=4;BYDAY={EVERY_PLACE}",
            "The rule is too long",
        ),
    ],
)
def test_rule_that_cannot_be_says_what_to_write(text, sentence):
    with pytest.raises(RuleRefused) as refused:
        Rule.parse(text).starts(TUESDAY)

    assert refused.value.message.startswith(sentence)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "FREQ=WEEKLY;INTERVAL=2;COUNT=8;BYDAY=TU,TH;WKST=SU",
            "Every 2 weeks on Tuesday and Thursday, 8 times",
        ),
        ("FREQ=DAILY;COUNT=3", "Every day, 3 times"),
        ("FREQ=DAILY;COUNT=3;BYDAY=MO,TU,WE", "Every day on Monday, Tuesday and Wednesday, 3 times"),
        ("FREQ=MONTHLY;COUNT=3;BYDAY=1FR,-1FR", "Every month on the first Friday and the last Friday, 3 times"),
        ("FREQ=MONTHLY;COUNT=3;BYDAY=-2MO", "Every month on the second Monday from the end, 3 times"),
        ("FREQ=WEEKLY;UNTIL=20261224T225959Z", "Every week, until Thu 24 Dec 2026"),
    ],
)  # fmt: skip
def test_rule_writes_what_it_reads_and_says_it_in_words(text, words):
    rule = Rule.parse(f"rrule:{text.lower()} ")

    assert str(rule) == text
    assert rule.in_words == words


def test_until_a_day_holds_to_its_end_on_the_studios_clock():
    """In summer the studio's 23:59:59 is 22:59:59 in UTC."""
    rule = Rule.parse("FREQ=WEEKLY;UNTIL=20260616")

    assert rule.until == datetime(2026, 6, 16, 22, 59, 59, tzinfo=UTC)
    assert [start.day for start in rule.starts(TUESDAY.replace(hour=23))] == [2, 9, 16]


def test_month_without_that_day_is_passed_over():
    starts = Rule("MONTHLY", count=4).starts(datetime(2027, 1, 31, 10))

    assert [(start.month, start.day) for start in starts] == [(1, 31), (3, 31), (5, 31), (7, 31)]


def test_most_that_a_series_may_hold():
    assert len(Rule("WEEKLY", count=60).starts(TUESDAY)) == 60
    assert len(Rule("MONTHLY", count=24, days=(Day("TU", 1),)).starts(TUESDAY)) == 24
    with pytest.raises(RuleRefused):
        Rule("MONTHLY", count=25, days=(Day("TU", 1),)).starts(TUESDAY)
