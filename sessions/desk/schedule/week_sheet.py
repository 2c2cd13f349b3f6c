"""The sheet of a week: its days down, the lines of a diary across."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sessions.calendar.schedule.days import ClockChange, Period, clock_change, hours_on, period_of
from sessions.calendar.schedule.diary import Line
from sessions.desk.schedule.shown import Free, Shown, bookable_from, includes, shown_on


@dataclass(frozen=True)
class WeekCell:
    """A line on one day: its hours where it is not open all day, and what is on and what is free."""

    line: Line
    hours: str
    things: list[Shown | Free]


@dataclass(frozen=True)
class WeekDay:
    day: date
    is_today: bool
    change: ClockChange | None
    cells: list[WeekCell]


def week_day(day: date, lines: Sequence[Line], now: datetime) -> WeekDay:
    """One row of the week's sheet."""
    cells = [WeekCell(line, _hours(day, line), _in_order(day, line, now)) for line in lines]
    return WeekDay(day, includes(period_of(day), now), clock_change(day), cells)


def _hours(day: date, line: Line) -> str:
    """ "open 10:00 to 22:00"; nothing for a line that is open all day."""
    period, person = period_of(day), line.kind == "person"
    opened = line.open_within(*period)
    if opened == [period]:
        return ""
    if line.kind == "unit":
        return line.shut
    if not opened:
        return "not working" if person else "closed"
    told = ", ".join(hours_on(day, *each) for each in opened)
    return f"{('working' if person else 'open')} {told}"


def _in_order(day: date, line: Line, now: datetime) -> list[Shown | Free]:
    """Entries and free time as they begin; lower ranks come first."""
    period = period_of(day)
    found = [
        (max(entry.period[0], period[0]), entry.order, shown_on(day, entry, now))
        for entry in line.entries_within(*period)
    ]
    found += [
        (free[0], 0, Free(free[0], bookable_from(*free, now), _free_in_words(day, free)))
        for free in line.free_within(*period)
        if free[1] > now
    ]
    return [what for _, _, what in sorted(found, key=lambda each: each[:2])]


def _free_in_words(day: date, free: Period) -> str:
    return "free all day" if free == period_of(day) else f"free {hours_on(day, *free)}"
