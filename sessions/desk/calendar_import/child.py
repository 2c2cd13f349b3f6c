"""Reads somebody’s calendar in a process of its own, which may fail without harm."""

import json
from dataclasses import dataclass
from datetime import date, datetime

from django.core.files import File
from django.utils import timezone

from sessions.desk.calendar_import.reading import NotACalendar
from sessions.limited import ChildFailed, run_limited

MEMORY_BYTES = 512 * 2**20
CPU_SECONDS = 8
WALL_SECONDS = 30


@dataclass(frozen=True)
class Event:
    """One event of the calendar. `status` is CONFIRMED, TENTATIVE, CANCELLED or empty."""

    title: str
    place: str
    text: str
    status: str
    takes_no_time: bool
    whole_days: bool
    starts_at: datetime
    ends_at: datetime


def events_in(file: File, first: date, last: date) -> tuple[list[Event], int, int]:
    """The events between the two days, how many more than can be asked about, and how many of the
    calendar have no time that can be read. Raises NotACalendar."""
    try:
        written = run_limited(
            "sessions.desk.calendar_import.reading",
            timezone.get_default_timezone_name(),
            first.isoformat(),
            last.isoformat(),
            memory_bytes=MEMORY_BYTES,
            cpu_seconds=CPU_SECONDS,
            wall_seconds=WALL_SECONDS,
            content=file.chunks(),
        )
    except ChildFailed as problem:
        raise NotACalendar(
            "Reading this calendar takes more time or memory than a calendar’s does: it is damaged, or "
            "something in it repeats without end. Choose fewer days."
        ) from problem
    answer = json.loads(written)
    if "refusal" in answer:
        raise NotACalendar(answer["refusal"])
    events = [
        Event(
            **each | {name: datetime.fromisoformat(each[name]) for name in ("starts_at", "ends_at")}
        )
        for each in answer["events"]
    ]
    return events, answer["more"], answer["unread"]
