"""Reading a calendar that another program wrote (RFC 5545), with its repeats as single events.

Nothing in it is trusted. It is read in a process of its own (`child.py`), so no Django here.
"""

import json
import sys
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import recurring_ical_events
from icalendar import Calendar, Event

from sessions.limited import limit_this_process

LARGEST_CALENDAR = 3_000_000  # bytes
MOST_EVENTS = 100  # as many as one page can ask about
LONGEST_TITLE, LONGEST_TEXT = 120, 500
FIRST_YEAR, LAST_YEAR = 1900, 9000
TIMES = {"DTSTART", "DTEND", "DURATION", "RRULE", "RDATE", "EXDATE", "RECURRENCE-ID"}
NO_CALENDAR = (
    "This is no calendar file, or only a part of one. Export the calendar as iCalendar, whose name ends "
    "in .ics."
)


class NotACalendar(Exception):
    """The text is a sentence for the user."""


def read_calendar(content: bytes, zone: ZoneInfo, first: date, last: date) -> dict:
    """The first `MOST_EVENTS` events that begin or go on between the two days, by their start, how many
    `more` there are, and how many of any day are `unread`, since nobody can say when they are. Times
    without a zone, and whole days, are the studio’s. Raises NotACalendar.
    """
    try:
        read = Calendar.from_ical(content, multiple=True)
    except (ValueError, IndexError) as error:
        raise NotACalendar(NO_CALENDAR) from error
    calendars = [each for each in read if isinstance(each, Calendar)]
    if not calendars:
        raise NotACalendar(NO_CALENDAR)
    unread = sum(_take_out_unreadable(calendar) for calendar in calendars)
    events = [
        event
        for calendar in calendars
        for event in recurring_ical_events.of(calendar, skip_bad_series=True).between(
            datetime.combine(first, time(), zone),
            datetime.combine(last + timedelta(days=1), time(), zone),
        )
    ]
    found = sorted((_event(event, zone) for event in events), key=lambda each: each["starts_at"])
    more = max(0, len(found) - MOST_EVENTS)
    return {"events": found[:MOST_EVENTS], "more": more, "unread": unread}


def _take_out_unreadable(calendar: Calendar) -> int:
    """One event that says nothing of its time, or of years with which nobody reckons, would stop all
    others. How many those were."""
    events = [each for each in calendar.subcomponents if isinstance(each, Event)]
    unreadable = {id(each) for each in events if not _is_readable(each)}
    calendar.subcomponents = [each for each in calendar.subcomponents if id(each) not in unreadable]
    return len(unreadable)


def _is_readable(event: Event) -> bool:
    """Whether its times and repeats were understood, each stands there once, and their years are such
    that a week more or less is a date."""
    if any(name in TIMES for name, _ in event.errors):
        return False
    try:
        starts, ends = event.start, event.end
    except (ValueError, AttributeError, TypeError, OverflowError):
        return False
    return all(FIRST_YEAR <= each.year <= LAST_YEAR for each in (starts, ends))


def _event(event: Event, zone: ZoneInfo) -> dict:
    return {
        "title": _text(event, "summary")[:LONGEST_TITLE],
        "place": _text(event, "location")[:LONGEST_TEXT],
        "text": _text(event, "description")[:LONGEST_TEXT],
        "status": _text(event, "status").upper(),
        "takes_no_time": _text(event, "transp").upper() == "TRANSPARENT",
        "whole_days": not isinstance(event.start, datetime),
        "starts_at": _instant(event.start, zone),
        "ends_at": _instant(event.end, zone),
    }


def _text(event: Event, name: str) -> str:
    said = event.get(name, "")
    first = said[0] if isinstance(said, list) else said  # of several, which none may have
    return " ".join(str(first).replace("\0", "").split())


def _instant(at: date | datetime, zone: ZoneInfo) -> str:
    if not isinstance(at, datetime):
        at = datetime.combine(at, time())
    return (at if at.tzinfo else at.replace(tzinfo=zone)).astimezone(ZoneInfo("UTC")).isoformat()


def main(memory_bytes: str, cpu_seconds: str, zone: str, first: str, last: str) -> None:
    limit_this_process(memory_bytes, cpu_seconds)
    try:
        answer = read_calendar(
            sys.stdin.buffer.read(),
            ZoneInfo(zone),
            date.fromisoformat(first),
            date.fromisoformat(last),
        )
    except NotACalendar as refusal:
        answer = {"refusal": str(refusal)}
    sys.stdout.write(json.dumps(answer))


if __name__ == "__main__":
    main(*sys.argv[1:])
