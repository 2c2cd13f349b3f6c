"""What the sheets of a day, a week and a month show alike: an entry, and free time."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import ceil

from sessions.bookings.free.search import FORWARDS
from sessions.calendar.schedule.days import Period, hours_on, moment_briefly
from sessions.calendar.schedule.diary import Entry, Line
from sessions.periods import comes_twice, typed

SIDE_BY_SIDE = 6  # lines that a tablet and a sheet of paper have room for; more go below
ON_A_PAGE = 24  # lines of a day or a week; the next page has the next
ALL_SHOWN = 12  # of more people or rooms, those that have something on


def side_by_side(lines: Sequence[Line]) -> list[Sequence[Line]]:
    """As few groups as fit, of about the same size."""
    groups = ceil(len(lines) / SIDE_BY_SIDE)
    size = ceil(len(lines) / groups) if groups else 1
    return [lines[at : at + size] for at in range(0, len(lines), size)]


@dataclass(frozen=True)
class Shown:
    """An entry on the page of one day; `period` says what of it lies on other days."""

    entry: Entry
    period: str
    runs_now: bool

    @property
    def starts(self) -> str:
        """When the session itself begins, as a form types it."""
        return typed(self.entry.starts_at)

    @property
    def ends(self) -> str:
        return typed(self.entry.ends_at)


def shown_on(day: date, entry: Entry, now: datetime) -> Shown:
    starts_at, ends_at = entry.period
    return Shown(entry, hours_on(day, entry.starts_at, entry.ends_at), starts_at <= now < ends_at)


@dataclass(frozen=True)
class Free:
    """Free time; `bookable_from` is the instant from which it is offered, if it is still to come."""

    starts_at: datetime
    bookable_from: datetime | None
    words: str = "free"

    @property
    def typed(self) -> str:
        """`bookable_from` on the studio's clock, as a form's address gives it."""
        return typed(self.bookable_from)

    @property
    def from_in_words(self) -> str:
        """`bookable_from` as it is read out."""
        return moment_briefly(self.bookable_from)


def bookable_from(starts_at: datetime, ends_at: datetime, now: datetime) -> datetime | None:
    """Where in free time a booking may begin: at its start, or at the next quarter of an hour.

    None where it is over, and at a time that the clock shows twice, which a form cannot tell apart.
    """
    begin = starts_at if starts_at >= now else FORWARDS.quarter(now)
    return begin if begin < ends_at and not comes_twice(begin) else None


def includes(period: Period, moment: datetime) -> bool:
    return period[0] <= moment < period[1]
