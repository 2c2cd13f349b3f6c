"""The sheet of a day, made of the lines of a diary."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from math import ceil

from sessions.calendar.schedule.days import (
    STEP,
    ClockChange,
    clock,
    clock_change,
    full_hours,
    period_of,
)
from sessions.calendar.schedule.diary import Line, Part
from sessions.calendar.schedule.layout import Cell, laid_out, marks_of
from sessions.desk.schedule.shown import Free, Shown, bookable_from, shown_on

IN_THE_NIGHT = {1, 2, 3, 5, 6, 7}  # hours without a row of their own, where nothing happens

CLOSED = "closed"


@dataclass(frozen=True)
class Box:
    """A cell of the day's sheet: a part of an entry, free time, closed, or nothing beside a hold.

    `first` marks the part that carries the words of its entry.
    """

    line: Line
    rows: int
    lanes: int
    shown: Shown | None = None
    part: Part | None = None
    first: bool = False
    free: Free | None = None
    closed: bool = False


@dataclass
class Row:
    """A stretch of the day. `quarters` is its length in quarters of an hour, four at most."""

    time: str
    quarters: int
    full_hour: bool
    is_now: bool
    change: ClockChange | None
    boxes: list[Box] = field(default_factory=list)


@dataclass(frozen=True)
class DaySheet:
    heads: list[tuple[Line, int]]  # with the number of lanes
    rows: list[Row]


def day_sheet(day: date, lines: Sequence[Line], now: datetime) -> DaySheet:
    """Lines side by side, time down the page; every row is a stretch in which nothing changes."""
    change = clock_change(day)
    minute = now.replace(second=0, microsecond=0)
    marks = _marks(day, lines, minute, change)
    hours = set(full_hours(day))
    rows = [
        Row(
            time=clock(begin, named=change is not None),
            quarters=min(4, ceil((end - begin) / STEP)),
            full_hour=begin in hours,
            is_now=begin == minute,
            change=change if change and begin == change.at else None,
        )
        for begin, end in zip(marks, marks[1:], strict=False)
    ]
    heads = []
    for line in lines:
        column = laid_out(_things(day, line, now), _free_rows(line, marks, now), marks)
        heads.append((line, column.lanes))
        for cell in column.cells:
            rows[cell.row].boxes.append(_box(line, cell))
    return DaySheet(heads, rows)


@dataclass(frozen=True)
class _Placed:
    """A part with the entry that it is of, as the layout carries it."""

    part: Part
    shown: Shown
    first: bool

    @property
    def starts_at(self) -> datetime:
        return self.part.starts_at

    @property
    def ends_at(self) -> datetime:
        return self.part.ends_at


def _things(day: date, line: Line, now: datetime) -> list[list[_Placed]]:
    """What is on that day, each by its parts, of which the first that is work carries the words."""
    things = []
    for entry in line.entries_within(*period_of(day)):
        parts, shown = entry.within(*period_of(day)), shown_on(day, entry, now)
        telling = next((part for part in parts if part.look == "work"), parts[0])
        things.append([_Placed(part, shown, part is telling) for part in parts])
    return things


def _marks(day: date, lines, minute: datetime, change: ClockChange | None) -> list[datetime]:
    """Where rows begin: the hours, whatever begins or ends, now, and the change of the clocks."""
    starts_at, ends_at = period_of(day)
    hours = full_hours(day)
    if change is None:  # a day of 23 or 25 hours shows every one of them
        hours = [at for count, at in enumerate(hours) if count not in IN_THE_NIGHT]
    instants = {*hours, minute} | ({change.at} if change else set())
    for line in lines:
        instants |= {at for opened in line.open for at in opened}
        for entry in line.entries_within(starts_at, ends_at):
            for part in entry.parts:
                instants |= {part.starts_at, part.ends_at}
    return marks_of(starts_at, ends_at, instants)


def _free_rows(line: Line, marks: list[datetime], now: datetime) -> list[Free | str]:
    """What each row of the line is where nothing stands in it: free from then on, or closed."""
    return [
        Free(begin, bookable_from(begin, end, now))
        if any(opens <= begin and end <= closes for opens, closes in line.open)
        else CLOSED
        for begin, end in zip(marks, marks[1:], strict=False)
    ]


def _box(line: Line, cell: Cell) -> Box:
    size = {"rows": cell.rows, "lanes": cell.lanes}
    if isinstance(cell.what, _Placed):
        placed = cell.what
        return Box(line, shown=placed.shown, part=placed.part, first=placed.first, **size)
    if isinstance(cell.what, Free):
        return Box(line, free=cell.what, **size)
    return Box(line, closed=cell.what == CLOSED, **size)
