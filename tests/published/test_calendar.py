"""Calendar files against RFC 5545 (September 2009; sections as named), read by libraries that had no
part in making them: icalendar's reader, recurring-ical-events, dateutil and Python's zone database.
"""

from datetime import UTC, date, datetime, timedelta
from io import StringIO
from zoneinfo import ZoneInfo

import pytest
import recurring_ical_events
from dateutil.tz import tzical
from icalendar import Calendar, Timezone

from sessions.ical.events import calendar_of, new_event
from sessions.ical.zones import clock_changes, zone_rules

NEW_YORK, LONDON = ZoneInfo("America/New_York"), ZoneInfo("Europe/London")
HOUR = timedelta(hours=1)


def event(starts_at, ends_at, **further):
    facts = {"summary": "Session", "location": "Rope Floor", "description": []} | further
    return new_event(
        uid="4088e990-ad89-4e2f-9d0d-1ab2c4b6d7f0",
        changed_at=datetime(2026, 1, 1, tzinfo=UTC),
        sequence=0,
        starts_at=starts_at,
        ends_at=ends_at,
        **facts,
    )


def lines_of(starts_at, ends_at, **further) -> list[str]:
    """Unfolded by section 3.1: CRLF and one blank vanish, before anything is decoded."""
    file = calendar_of([event(starts_at, ends_at, **further)])
    return file.replace(b"\r\n ", b"").decode().split("\r\n")


def read_back(starts_at, ends_at, **further):
    [read] = Calendar.from_ical(calendar_of([event(starts_at, ends_at, **further)])).events
    return read


@pytest.fixture
def in_new_york(settings):
    settings.TIME_ZONE = "America/New_York"


# Section 4, the first example object: 08:30 to 09:30 in New York is 13:30Z to 14:30Z
def test_meeting_of_the_object_example(in_new_york):
    lines = lines_of(
        datetime(1998, 3, 12, 13, 30, tzinfo=UTC), datetime(1998, 3, 12, 14, 30, tzinfo=UTC)
    )

    assert "DTSTART;TZID=America/New_York:19980312T083000" in lines
    assert "DTEND;TZID=America/New_York:19980312T093000" in lines


# Section 3.3.11: text of three lines, as one with \n
def test_description_of_three_lines_is_escaped_as_in_the_text_example():
    words = ["Project XYZ Final Review", "Conference Room - 3B", "Come Prepared."]

    lines = lines_of(
        datetime(2026, 1, 1, 9, tzinfo=UTC), datetime(2026, 1, 1, 10, tzinfo=UTC), description=words
    )

    assert "DESCRIPTION:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared." in lines


# Section 3.3.11: backslash, semicolon and comma are escaped, a colon must not be
def test_only_what_must_be_is_escaped():
    lines = lines_of(
        datetime(2026, 1, 1, 9, tzinfo=UTC),
        datetime(2026, 1, 1, 10, tzinfo=UTC),
        summary='a\\b;c,d:e"f',
    )

    assert 'SUMMARY:a\\\\b\\;c\\,d:e"f' in lines


# Section 3.1: no line longer than 75 octets, whatever its letters; unfolded, it is the same
@pytest.mark.parametrize("sign", ["a", "é", "弦", "🎻", "a🎻"])
@pytest.mark.parametrize("length", range(30, 160, 13))
def test_long_lines_are_folded_at_75_octets(sign, length):
    words = sign * length
    file = calendar_of(
        [
            event(
                datetime(2026, 1, 1, 9, tzinfo=UTC),
                datetime(2026, 1, 1, 10, tzinfo=UTC),
                summary=words,
            )
        ]
    )

    assert max(len(line) for line in file.split(b"\r\n")) <= 75
    assert f"SUMMARY:{words}".encode() in file.replace(b"\r\n ", b"")
    assert file.endswith(b"END:VCALENDAR\r\n")


# Section 3.6.1: DTEND is not part of the event, so the next one may begin there
def test_event_that_ends_at_two_leaves_two_o_clock_free():
    start = datetime(2026, 6, 1, 9, tzinfo=UTC)
    first, second = event(start, start + 4 * HOUR), event(start + 4 * HOUR, start + 8 * HOUR)
    second["uid"] = "another"
    calendar = recurring_ical_events.of(Calendar.from_ical(calendar_of([first, second])))

    found = calendar.between(start + 4 * HOUR, start + 5 * HOUR)

    assert [each["uid"] for each in found] == ["another"]


# Section 3.6.1, the example of an all-day event: 28 June to 8 July 2007, the last day included, is
# DTSTART;VALUE=DATE:20070628 and DTEND;VALUE=DATE:20070709; dates need no rules of a zone
def test_whole_days_are_dates_and_the_end_is_the_day_after():
    lines = lines_of(date(2007, 6, 28), date(2007, 7, 9))

    assert "DTSTART;VALUE=DATE:20070628" in lines
    assert "DTEND;VALUE=DATE:20070709" in lines
    assert "BEGIN:VTIMEZONE" not in lines
    calendar = recurring_ical_events.of(Calendar.from_ical("\r\n".join(lines)))
    assert [len(calendar.at(day)) for day in ((2007, 6, 27), (2007, 7, 8), (2007, 7, 9))] == [
        0,
        1,
        0,
    ]


# Section 3.8.2.2: DTEND later than DTSTART; both in one form
# European Parliament and Council, Directive 2000/84/EC: the clocks change at 01:00 UTC, on
# 29 March and 25 October 2026; 22:00 to 10:00 over them is 11 and 13 hours
@pytest.mark.parametrize(("day", "hours"), [(date(2026, 3, 28), 11), (date(2026, 10, 24), 13)])
def test_night_over_a_clock_change_keeps_its_length(day, hours):
    starts_at = datetime.combine(day, datetime.min.time(), LONDON).replace(hour=22)
    ends_at = (starts_at + timedelta(days=1)).replace(hour=10)

    read = read_back(starts_at.astimezone(UTC), ends_at.astimezone(UTC))

    assert read["dtend"].dt.astimezone(UTC) - read["dtstart"].dt.astimezone(UTC) == hours * HOUR
    assert (read["dtstart"].dt.hour, read["dtend"].dt.hour) == (22, 10)


# Section 3.3.5: 20071104T013000 in New York comes twice and means the first one, 05:30Z
def test_time_that_comes_twice_means_the_first_one(in_new_york):
    lines = lines_of(
        datetime(2007, 11, 4, 5, 30, tzinfo=UTC), datetime(2007, 11, 4, 5, 45, tzinfo=UTC)
    )

    assert "DTSTART;TZID=America/New_York:20071104T013000" in lines


# … so that the second one, an hour later, can only be said in UTC
def test_second_time_is_told_in_utc(in_new_york):
    starts_at = datetime(2007, 11, 4, 6, 30, tzinfo=UTC)

    lines = lines_of(starts_at, starts_at + 3 * HOUR)

    assert "DTSTART:20071104T063000Z" in lines
    assert "DTEND:20071104T093000Z" in lines


@pytest.mark.parametrize("minutes", range(0, 240, 15))
def test_every_quarter_of_an_hour_of_the_night_is_read_back_as_itself(minutes):
    starts_at = datetime(2026, 10, 24, 23, tzinfo=UTC) + timedelta(minutes=minutes)

    read = read_back(starts_at, starts_at + HOUR)

    assert read["dtstart"].dt.astimezone(UTC) == starts_at
    assert read["dtend"].dt.astimezone(UTC) == starts_at + HOUR


# Section 3.6.5: the example of the rules of New York from 2007 on
# (DTSTART:20070311T020000 and 20071104T020000, each on the clock before its step)
def test_onsets_are_told_on_the_clock_before_the_step():
    rules = zone_rules(
        NEW_YORK, datetime(2007, 1, 1, tzinfo=UTC), datetime(2007, 12, 31, tzinfo=UTC)
    )

    told = [
        (part.name, part["dtstart"].to_ical(), part["tzoffsetto"].to_ical(), part["tzname"])
        for part in rules.subcomponents
    ]

    assert told == [
        ("STANDARD", b"20061231T190000", "-0500", "EST"),
        ("DAYLIGHT", b"20070311T020000", "-0400", "EDT"),
        ("STANDARD", b"20071104T020000", "-0500", "EST"),
    ]


# dateutil reads the rules by itself; Python's zone database knows the truth
@pytest.mark.parametrize(
    "key",
    [
        "Europe/London",
        "America/New_York",
        "Australia/Lord_Howe",
        "Asia/Kolkata",
        "Africa/Casablanca",
        "America/Asuncion",
    ],
)
def test_rules_give_the_zones_own_offset_at_every_hour_of_three_years(key):
    zone = ZoneInfo(key)
    first, last = datetime(2025, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)
    calendar = Calendar()
    calendar.add_component(zone_rules(zone, first, last))
    read = tzical(StringIO(calendar.to_ical().decode())).get(key)

    wrong = []
    changes = clock_changes(zone, first, last)
    for hour in range(25, 3 * 365 * 24, 1):
        instant = first + hour * HOUR
        local = instant.astimezone(zone)
        ambiguous = any(abs(instant - change) < 2 * HOUR for change in changes)
        if not ambiguous and read.utcoffset(local.replace(tzinfo=None)) != local.utcoffset():
            wrong.append(local)

    assert wrong == []


def test_rules_name_their_zone():
    rules = zone_rules(LONDON, datetime(2026, 1, 1, tzinfo=UTC), datetime(2027, 1, 1, tzinfo=UTC))

    assert isinstance(rules, Timezone)
    assert rules["tzid"] == "Europe/London"
    assert len(rules.subcomponents) == 3
