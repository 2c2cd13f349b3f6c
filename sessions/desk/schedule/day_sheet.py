"""The sheet of a day, made of the lines of a diary: a time axis, on which every hour is as high."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from math import ceil

from django.utils import timezone

from sessions.calendar.schedule.days import (
    ClockChange,
    Period,
    clock,
    clock_change,
    full_hours,
    minute_of,
    period_of,
)
from sessions.calendar.schedule.diary import Line, Part
from sessions.calendar.schedule.layout import Cell, laid_out, marks_of
from sessions.desk.schedule.folding import NIGHT, folds, is_wanted
from sessions.desk.schedule.shown import Free, Shown, bookable_from, includes, shown_on

CLOSED = "closed"
FOLDED = "folded"
FOLD_HEIGHT = 30  # minutes' worth of the axis
A_LINE = timedelta(minutes=30)  # lower free time has no room for a word: it joins what is beside it
BRIEF = 50  # minutes under which an entry has room for one line of words
HIGH, MIDDLING = (
    12,
    17,
)  # hours of a day that fill a sheet of paper at two sizes; all else at a third


@dataclass(frozen=True)
class Box:
    """A cell of the day's sheet: a part of an entry, free time, closed, folded, or nothing beside a
    hold.

    `first` marks the part that carries the words of its entry.
    """

    line: Line
    rows: int
    lanes: int
    shown: Shown | None = None
    part: Part | None = None
    first: bool = False
    brief: bool = False
    free: Free | None = None
    closed: bool = False
    folded: bool = False


@dataclass
class Row:
    """A stretch of the day. `minutes`: its height on the axis, 60 at most; `now`: how far down in it
    the present moment lies, in the same minutes; `minute` and `length`: what of the clock it is."""

    time: str
    minutes: int
    full_hour: bool
    minute: int
    length: int
    now: int | None
    change: ClockChange | None
    folded: str = ""
    boxes: list[Box] = field(default_factory=list)


@dataclass(frozen=True)
class DaySheet:
    heads: list[tuple[Line, int]]  # with the number of lanes
    rows: list[Row]

    @property
    def lanes(self) -> int:
        return sum(lanes for _, lanes in self.heads)

    @property
    def folds(self) -> bool:
        return any(row.folded for row in self.rows)

    @property
    def on_paper(self) -> str:
        """How high an hour may be so that the day fits one sheet of paper."""
        hours = sum(row.minutes for row in self.rows) / 60
        return "high" if hours <= HIGH else "middling" if hours <= MIDDLING else "low"


def day_sheet(
    day: date, lines: Sequence[Line], now: datetime, *, unfolded: bool = False
) -> DaySheet:
    """Lines side by side, time down the page; every row is a stretch in which nothing changes."""
    change = clock_change(day)
    marks = _marks(day, lines, change)
    folded = [] if unfolded else _folds(day, marks, lines, change)
    marks = [at for at in marks if not any(begin < at < end for begin, end in folded)]
    hours = set(full_hours(day))
    rows = [
        _row(day, period, hours, now, change, is_folded=period in folded)
        for period in zip(marks, marks[1:], strict=False)
    ]
    heads = []
    for line in lines:
        column = laid_out(_things(day, line, now), _free_rows(line, marks, folded, now), marks)
        heads.append((line, column.lanes))
        for cell in column.cells:
            height = sum(row.minutes for row in rows[cell.row : cell.row + cell.rows])
            rows[cell.row].boxes.append(_box(line, cell, brief=height < BRIEF))
    return DaySheet(heads, rows)


def _row(
    day: date,
    period: Period,
    hours: set[datetime],
    now: datetime,
    change: ClockChange | None,
    *,
    is_folded: bool,
) -> Row:
    begin, end = period
    length = end - begin
    minutes = FOLD_HEIGHT if is_folded else ceil(length / timedelta(minutes=1))
    named = change is not None
    words = f"{clock(begin, named=named)} to {clock(end, named=named)}"
    return Row(
        time=clock(begin, named=named),
        minutes=minutes,
        full_hour=begin in hours,
        minute=minute_of(day, begin),
        length=ceil(length / timedelta(minutes=1)),
        now=int((now - begin) / length * minutes) if includes(period, now) else None,
        change=change if change and begin == change.at else None,
        folded=words if is_folded else "",
    )


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


def _marks(day: date, lines, change: ClockChange | None) -> list[datetime]:
    """Where rows begin: the hours, whatever begins or ends, and the change of the clocks."""
    starts_at, ends_at = period_of(day)
    instants = {*full_hours(day)} | ({change.at} if change else set())
    for line in lines:
        instants |= {at for opened in line.open for at in opened}
        for entry in line.entries_within(starts_at, ends_at):
            for part in entry.parts:
                instants |= {part.starts_at, part.ends_at}
    return marks_of(starts_at, ends_at, instants)


def _folds(
    day: date, marks: list[datetime], lines: Sequence[Line], change: ClockChange | None
) -> list[Period]:
    """Of the night in which the clocks change every hour is shown that anything is open in."""
    return folds(
        [
            (
                *period,
                is_wanted(
                    period,
                    lines,
                    at_night=change is None and timezone.localtime(period[0]).hour in NIGHT,
                ),
            )
            for period in zip(marks, marks[1:], strict=False)
        ]
    )


def _free_rows(
    line: Line, marks: list[datetime], folded: list[Period], now: datetime
) -> list[Free | str]:
    """What each row of the line is where nothing stands in it: free from then on, closed, or folded.

    Free time too low for a word is one with the free time that follows.
    """
    found: list[Free | str] = []
    waiting: datetime | None = None
    for begin, end in zip(marks, marks[1:], strict=False):
        if (begin, end) in folded:
            found.append(FOLDED)
        elif any(opens <= begin and end <= closes for opens, closes in line.open):
            starts = waiting or begin
            found.append(Free(starts, bookable_from(starts, end, now)))
            waiting = starts if end - starts < A_LINE else None
            continue
        else:
            found.append(CLOSED)
        waiting = None
    return _joined(found)


def _joined(found: list[Free | str]) -> list[Free | str]:
    """Rows of free time that begin at one moment say the same, so that they become one cell."""
    last = {each.starts_at: each for each in found if isinstance(each, Free)}
    return [last[each.starts_at] if isinstance(each, Free) else each for each in found]


def _box(line: Line, cell: Cell, *, brief: bool) -> Box:
    size = {"rows": cell.rows, "lanes": cell.lanes}
    if isinstance(cell.what, _Placed):
        placed = cell.what
        return Box(
            line, shown=placed.shown, part=placed.part, first=placed.first, brief=brief, **size
        )
    if isinstance(cell.what, Free):
        return Box(line, free=cell.what, **size)
    return Box(line, closed=cell.what == CLOSED, folded=cell.what == FOLDED, **size)
