"""The hours across a week: one axis for all its days, on which each hour is as wide as the next."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from math import ceil

from sessions.calendar.schedule.days import Period, minute_of, period_of
from sessions.calendar.schedule.diary import Line
from sessions.desk.schedule.folding import AT_LEAST, NIGHT, is_endless

HOUR = timedelta(hours=1)
QUARTERS, FOLD_QUARTERS = 4, 2  # columns of an hour, and of a fold


@dataclass(frozen=True)
class Stretch:
    """An hour across the page, or hours that are folded: minutes of the clock, and its columns."""

    starts: int
    ends: int
    columns: int
    folded: bool = False

    @property
    def words(self) -> str:
        """ "09", and of a fold "00–09"."""
        first, last = self.starts // 60, self.ends // 60
        return f"{first:02}–{last:02}" if self.folded else f"{first:02}"

    @property
    def minutes(self) -> int:
        return self.ends - self.starts


@dataclass(frozen=True)
class Axis:
    stretches: tuple[Stretch, ...]

    def column(self, minute: int) -> int:
        """Where a minute of the clock lies, to the nearest column."""
        before = 0
        for each in self.stretches:
            if minute < each.ends:
                part = (minute - each.starts) / each.minutes * each.columns
                return before + int(part + 0.5)
            before += each.columns
        return before

    @property
    def folds(self) -> Iterator[tuple[int, int]]:
        """The columns of each fold."""
        for each in self.stretches:
            if each.folded:
                yield self.column(each.starts), self.column(each.ends)


def axis_of(days: Sequence[date], lines: Sequence[Line], *, unfolded: bool) -> Axis:
    """One for the whole week: an hour is folded if nobody wants it on any of its days."""
    wanted = set(range(24)) if unfolded else _wanted_hours(days, lines)
    stretches: list[Stretch] = []
    for is_wanted, run in groupby(range(24), key=lambda hour: hour in wanted):
        hours = list(run)
        if is_wanted or len(hours) * HOUR < AT_LEAST:
            stretches += [Stretch(hour * 60, (hour + 1) * 60, QUARTERS) for hour in hours]
        else:
            stretches.append(
                Stretch(hours[0] * 60, (hours[-1] + 1) * 60, FOLD_QUARTERS, folded=True)
            )
    return Axis(tuple(stretches))


def _wanted_hours(days: Sequence[date], lines: Sequence[Line]) -> set[int]:
    """The hours of the clock in which anything is on, or open, on any of the days."""
    wanted: set[int] = set()
    for line in lines:
        for day in days:
            within = period_of(day)
            for entry in line.entries_within(*within):
                wanted |= _hours_of(day, entry.period)
            for opened in line.open_within(*within):
                wanted |= _hours_of(day, opened) - (set(NIGHT) if is_endless(opened) else set())
    return wanted


def _hours_of(day: date, period: Period) -> set[int]:
    start, end = (minute_of(day, at) for at in period)
    return set(range(start // 60, ceil(end / 60)))
