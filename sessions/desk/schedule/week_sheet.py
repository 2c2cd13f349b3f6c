"""The sheet of a week: days and the lines of a diary down, the hours of the clock across, each as
wide as the next."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from sessions.calendar.schedule.days import (
    A_DAY,
    ClockChange,
    clock_change,
    minute_of,
    period_of,
)
from sessions.calendar.schedule.diary import Line
from sessions.calendar.schedule.layout import Cell, laid_out
from sessions.desk.schedule.shown import (
    SIDE_BY_SIDE,
    Free,
    Shown,
    bookable_from,
    includes,
    shown_on,
)
from sessions.desk.schedule.week_axis import Axis, axis_of

CLOSED, FOLDED, PAST = "closed", "folded", "past"
HIGH, MIDDLING = 21, 42  # rows that fill a sheet of paper at two sizes; more are set at a third


@dataclass(frozen=True)
class Box:
    """A cell of the week's sheet: an entry, time around it, free time, closed, folded, or what is left
    beside a hold. `now`: how far across it the present moment lies, in sixtieths."""

    columns: int
    rows: int
    shown: Shown | None = None
    look: str = ""
    first: bool = False
    free: Free | None = None
    what: str = ""
    now: int | None = None


@dataclass
class WeekRow:
    """One row of the page: a lane of a line on a day. The first of a line and of a day names it."""

    day: date
    line: Line
    line_rows: int = 0
    day_rows: int = 0
    boxes: list[Box] = field(default_factory=list)


@dataclass(frozen=True)
class WeekDay:
    day: date
    is_today: bool
    change: ClockChange | None
    rows: list[WeekRow]
    others: int  # lines with nothing on, that are not shown


@dataclass(frozen=True)
class WeekSheet:
    axis: Axis
    days: list[WeekDay]

    @property
    def columns_and_one(self) -> int:
        """All but the day."""
        return 1 + sum(each.columns for each in self.axis.stretches)

    @property
    def on_paper(self) -> str:
        """How high a row may be so that the week fits one sheet of paper."""
        rows = sum(max(len(each.rows), 1) for each in self.days)
        return "high" if rows <= HIGH else "middling" if rows <= MIDDLING else "low"


def week_sheet(
    days: Sequence[date], lines: Sequence[Line], now: datetime, *, unfolded: bool = False
) -> WeekSheet:
    """Of more lines than stand side by side, each day names those that have something on."""
    axis = axis_of(days, lines, unfolded=unfolded)
    return WeekSheet(axis, [_week_day(day, lines, axis, now) for day in days])


def _week_day(day: date, lines: Sequence[Line], axis: Axis, now: datetime) -> WeekDay:
    period = period_of(day)
    shown = lines
    if len(lines) > SIDE_BY_SIDE:
        shown = [line for line in lines if line.entries_within(*period)]
    rows = [row for line in shown for row in _rows(day, line, axis, now)]
    if rows:
        rows[0].day_rows = len(rows)
    return WeekDay(day, includes(period, now), clock_change(day), rows, len(lines) - len(shown))


@dataclass(frozen=True)
class _Placed:
    """A part of an entry by its columns, as the layout carries it."""

    shown: Shown
    look: str
    first: bool
    starts_at: int
    ends_at: int


def _rows(day: date, line: Line, axis: Axis, now: datetime) -> list[WeekRow]:
    """The lanes of one line on one day."""
    things = [_placed(day, shown_on(day, entry, now), axis) for entry in _on(day, line)]
    spans = _spans(day, line, axis, now)
    marks = sorted({at for start, end, _ in spans for at in (start, end)} | _ends_of(things))
    free = [
        next(what for start, end, what in spans if start <= begin and stop <= end)
        for begin, stop in zip(marks, marks[1:], strict=False)
    ]
    column = laid_out(things, free, marks)
    rows = [WeekRow(day, line) for _ in range(column.lanes)]
    rows[0].line_rows = column.lanes
    here = axis.column(minute_of(day, now)) if includes(period_of(day), now) else None
    for cell in column.cells:
        rows[cell.lane].boxes.append(_box(cell, marks, here))
    return rows


def _on(day: date, line: Line):
    return line.entries_within(*period_of(day))


def _placed(day: date, shown: Shown, axis: Axis) -> list[_Placed]:
    """The parts of an entry that are as wide as a column, one at least; the first that is work says
    what it is."""
    found = []
    for part in shown.entry.within(*period_of(day)):
        start, end = (axis.column(minute_of(day, at)) for at in (part.starts_at, part.ends_at))
        if start < end:
            found.append((part.look, start, end))
    if not found:
        start = min(axis.column(minute_of(day, shown.entry.starts_at)), axis.column(A_DAY) - 1)
        found.append(("work", start, start + 1))
    telling = next((place for place, each in enumerate(found) if each[0] == "work"), 0)
    return [
        _Placed(shown, look, place == telling, start, end)
        for place, (look, start, end) in enumerate(found)
    ]


def _ends_of(things: list[list[_Placed]]) -> set[int]:
    return {at for parts in things for part in parts for at in (part.starts_at, part.ends_at)}


def _spans(day: date, line: Line, axis: Axis, now: datetime) -> list[tuple[int, int, Free | str]]:
    """The whole day by its columns: what it is where nothing stands in it."""
    spans: list[tuple[int, int, Free | str]] = []
    for starts_at, ends_at in line.free_within(*period_of(day)):
        start, end = (axis.column(minute_of(day, at)) for at in (starts_at, ends_at))
        if ends_at <= now:
            spans.append((start, end, PAST))
        else:
            words = "free all day" if (starts_at, ends_at) == period_of(day) else "free"
            free = Free(starts_at, bookable_from(starts_at, ends_at, now), words)
            spans.append((start, end, free))
    return _filled(spans, axis, line, day)


def _filled(
    spans: list[tuple[int, int, Free | str]], axis: Axis, line: Line, day: date
) -> list[tuple[int, int, Free | str]]:
    """With what is closed between them, and cut where the axis is folded."""
    taken = [
        tuple(axis.column(minute_of(day, at)) for at in entry.period)
        for entry in line.entries_within(*period_of(day))
    ]
    folded = list(axis.folds)
    width = axis.column(A_DAY)
    cuts = {0, width, *(at for fold in folded for at in fold), *(at for t in taken for at in t)}
    cuts |= {at for start, end, _ in spans for at in (start, end)}
    cuts = sorted(cuts)
    found = []
    for begin, end in zip(cuts, cuts[1:], strict=False):
        if any(start <= begin and end <= stop for start, stop in folded):
            what = FOLDED
        else:
            what = next((w for s, e, w in spans if s <= begin and end <= e), CLOSED)
        found.append((begin, end, what))
    return found


def _box(cell: Cell, marks: list[int], here: int | None) -> Box:
    begin, end = marks[cell.row], marks[cell.row + cell.rows]
    now = (
        round((here - begin) / (end - begin) * 60)
        if here is not None and begin <= here < end
        else None
    )
    size = {"columns": end - begin, "rows": cell.lanes, "now": now}
    if isinstance(cell.what, _Placed):
        return Box(shown=cell.what.shown, look=cell.what.look, first=cell.what.first, **size)
    if isinstance(cell.what, Free):
        return Box(free=cell.what, **size)
    return Box(what=cell.what, **size)
