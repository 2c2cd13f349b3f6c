"""When a file was recorded, by the clock of whatever recorded it, in the studio's zone."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone
from django.utils.formats import date_format

from sessions.takes.models import TakeFile
from sessions.takes.models.files import clock_text

DAY = 24 * 60 * 60
# A time reference counts as a time of day where it is so near the time of origination, which some
# writers state in whole seconds, others when the file is closed. (Common practice, no source.)
NEAR_SECONDS = 120
FIRST_YEAR = 1980  # what an unset clock writes may lie before


@dataclass(frozen=True)
class Recorded:
    """`starts` are the instants that it may mean: several where no date is given, or in an hour that
    comes twice. `words` say what it was read from; `doubt`, where there is one, what was not used."""

    starts: Sequence[datetime]
    is_dated: bool
    seconds: float | None
    words: str
    doubt: str = ""


def recorded(file: TakeFile, *, days: Sequence[date]) -> Recorded | None:
    """None where its header gives no time of day. Without a date it may be of any of the `days`."""
    bext, ixml = file.bext or {}, file.ixml or {}
    day = _date(bext.get("origination_date")) or _date(ixml.get("origination_date"))
    written = _time(bext.get("origination_time")) or _time(ixml.get("origination_time"))
    stamp, doubt = file.stamped_seconds, ""
    if stamp is not None and stamp >= DAY:
        stamp = None
    if stamp is not None and written and not _agree(stamp, written, file.seconds):
        doubt = (
            f"its time reference, {clock_text(stamp)}, is a place on a timeline, not a time of day"
        )
        stamp = None
    if stamp is None and written is None:
        return None
    seconds = _of_day(written) if stamp is None else stamp
    by = "Time of origination" if stamp is None else "Time reference"
    if day and stamp is not None and written:  # who starts before midnight and writes after it
        day -= timedelta(round((seconds - _of_day(written)) / DAY))
    starts = [at for each in ([day] if day else days) for at in _instants(each, seconds)]
    on = f" on {date_format(day)}" if day else "; it gives no date"
    return Recorded(starts, bool(day), file.seconds, f"{by} {clock_text(seconds)}{on}", doubt)


def _agree(stamp: float, written: time, length: float | None) -> bool:
    late = _of_day(written) - stamp  # a file is stamped when it begins, or when it is closed
    return any(
        abs((late - each + DAY / 2) % DAY - DAY / 2) <= NEAR_SECONDS for each in (0, length or 0)
    )


def _instants(day: date, seconds: float) -> list[datetime]:
    local = datetime.combine(day, time()) + timedelta(seconds=seconds)
    zone = timezone.get_default_timezone()
    both = [local.replace(tzinfo=zone, fold=fold) for fold in (0, 1)]
    return both if both[0].utcoffset() > both[1].utcoffset() else both[:1]


def _of_day(at: time) -> int:
    return (at.hour * 60 + at.minute) * 60 + at.second


def _date(text: str | None) -> date | None:
    """The standard recommends several separators, so any counts."""
    found = re.match(r"(\d{4})\D(\d{2})\D(\d{2})", text or "", re.ASCII)
    try:
        day = date(*map(int, found.groups())) if found else None
    except ValueError:
        return None
    return day if day and FIRST_YEAR <= day.year < 2200 else None


def _time(text: str | None) -> time | None:
    found = re.match(r"(\d{2})\D(\d{2})\D(\d{2})", text or "", re.ASCII)
    try:
        return time(*map(int, found.groups())) if found else None
    except ValueError:
        return None
