"""Breaks as they are typed on one line: 13:00 to 14:00, 16:15 to 16:30."""

import re
from collections.abc import Iterable
from datetime import datetime, time, timedelta

from django.utils import timezone

from sessions.periods import instant_of

Break = tuple[datetime, datetime | None]  # without an end it goes on

_ONE = re.compile(r"(\d{1,2}):(\d\d)\s*(?:(?:to|-|–)\s*(\d{1,2}):(\d\d)|on)")


class NotBreaks(ValueError):
    """What was typed is no list of breaks; the message says what is."""


def breaks_text(breaks: Iterable[Break]) -> str:
    return ", ".join(
        f"{_clock(starts)} to {_clock(ends)}" if ends else f"{_clock(starts)} on"
        for starts, ends in breaks
    )


def _clock(at: datetime) -> str:
    return f"{timezone.localtime(at):%H:%M}"


def breaks_of(text: str, came_at: datetime) -> list[Break]:
    """Each time is the next of its kind on the studio's clock after the one before, over midnight
    too; in an hour that comes twice the first, where that is not over. Raises NotBreaks."""
    breaks, at = [], came_at
    for typed in filter(None, (each.strip() for each in re.split(r"[,;\n]", text))):
        found = _ONE.fullmatch(typed)
        if not found:
            raise NotBreaks(f"“{typed}” is no break: write it as 13:00 to 14:00, or 13:00 on.")
        starts = at = _next(at, *found.group(1, 2))
        ends = None
        if found[3]:
            ends = at = _next(at, *found.group(3, 4))
        breaks.append((starts, ends))
    return breaks


def _next(after: datetime, hour: str, minute: str) -> datetime:
    try:
        clock = time(int(hour), int(minute))
    except ValueError:
        raise NotBreaks(f"{hour}:{minute} is no time of day.") from None
    day = timezone.localtime(after).date()
    times = (datetime.combine(day, clock.replace(fold=fold)) for fold in (0, 1))
    today = (instant_of(local) for local in times)
    # What was typed has no seconds, what was pressed has.
    at = next((each for each in today if each >= after.replace(second=0, microsecond=0)), None)
    return at or instant_of(datetime.combine(day + timedelta(days=1), clock))
