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


class NotACalendar(Exception):
    """The text is a sentence for the user."""


def read_calendar(content: bytes, zone: ZoneInfo, first: date, last: date) -> dict:
    """The first `MOST_EVENTS` events that begin or go on between the two days, by their start, and how
    many `more` there are. Times without a zone, and whole days, are the studio’s. Raises NotACalendar.
    """
    try:
        calendars = Calendar.from_ical(content, multiple=True)
    except (ValueError, IndexError) as error:
        raise NotACalendar(
            "This is no calendar file. Export the calendar as iCalendar, whose name ends in .ics."
        ) from error
    events = [
        event
        for calendar in calendars
        for event in recurring_ical_events.of(calendar, skip_bad_series=True).between(
            datetime.combine(first, time(), zone),
            datetime.combine(last + timedelta(days=1), time(), zone),
        )
        if event.get("summary") is not None or event.get("dtstart") is not None
    ]
    found = sorted((_event(event, zone) for event in events), key=lambda each: each["starts_at"])
    return {"events": found[:MOST_EVENTS], "more": max(0, len(found) - MOST_EVENTS)}


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
    return " ".join(str(event.get(name, "")).replace("\0", "").split())


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
