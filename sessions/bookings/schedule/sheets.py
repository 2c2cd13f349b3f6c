"""The sheets of a day, a week and a month, made of the lines of a diary."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from math import ceil

from django.utils import timezone

from sessions.bookings.periods import comes_twice
from sessions.bookings.schedule.days import (
    STEP,
    ClockChange,
    Period,
    clock,
    clock_change,
    full_hours,
    moment_briefly,
    period_of,
    told_on,
)
from sessions.bookings.schedule.diary import Entry, Line, Part
from sessions.bookings.schedule.layout import Cell, laid_out, marks_of

SIDE_BY_SIDE = 6  # lines that a tablet and a sheet of paper have room for; more go below
ON_A_MONTH_DAY = 4
IN_THE_NIGHT = {1, 2, 3, 5, 6, 7}  # hours without a row of their own, where nothing happens
CLOSED = "closed"
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Shown:
    """An entry on the page of one day; `period` says what of it lies on other days."""

    entry: Entry
    period: str
    runs_now: bool


@dataclass(frozen=True)
class Free:
    """Free time; `bookable_from` is the instant from which it is offered, if it is still to come."""

    starts_at: datetime
    bookable_from: datetime | None
    words: str = "free"

    @property
    def typed(self) -> str:
        """`bookable_from` on the studio's clock, as a form's address gives it."""
        return f"{timezone.localtime(self.bookable_from):%Y-%m-%dT%H:%M}"

    @property
    def told(self) -> str:
        """`bookable_from` as it is read out."""
        return moment_briefly(self.bookable_from)


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


def side_by_side(lines: Sequence[Line]) -> list[Sequence[Line]]:
    """As few groups as fit, of about the same size."""
    groups = ceil(len(lines) / SIDE_BY_SIDE)
    size = ceil(len(lines) / groups) if groups else 1
    return [lines[at : at + size] for at in range(0, len(lines), size)]


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
        parts, shown = entry.within(*period_of(day)), _shown(day, entry, now)
        telling = next((part for part in parts if part.look == "work"), parts[0])
        things.append([_Placed(part, shown, part is telling) for part in parts])
    return things


def _shown(day: date, entry: Entry, now: datetime) -> Shown:
    starts_at, ends_at = entry.period
    return Shown(entry, told_on(day, entry.starts_at, entry.ends_at), starts_at <= now < ends_at)


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


def bookable_from(starts_at: datetime, ends_at: datetime, now: datetime) -> datetime | None:
    """Where in free time a booking may begin: at its start, or at the next quarter of an hour.

    None where it is over, and at a time that the clock shows twice, which a form cannot tell apart.
    """
    begin = starts_at if starts_at >= now else EPOCH + ceil((now - EPOCH) / STEP) * STEP
    return begin if begin < ends_at and not comes_twice(begin) else None


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
    return WeekDay(day, _holds(period_of(day), now), clock_change(day), cells)


def _hours(day: date, line: Line) -> str:
    """ "open 10:00 to 22:00"; nothing for a line that is open all day."""
    period, person = period_of(day), line.kind == "person"
    opened = line.open_within(*period)
    if opened == [period]:
        return ""
    if not opened:
        return "not at work" if person else "closed"
    told = ", ".join(told_on(day, *each) for each in opened)
    return f"{'at work' if person else 'open'} {told}"


def _in_order(day: date, line: Line, now: datetime) -> list[Shown | Free]:
    """Entries and free time as they begin; whoever is first in line comes first."""
    period = period_of(day)
    found = [
        (max(entry.period[0], period[0]), entry.order, _shown(day, entry, now))
        for entry in line.entries_within(*period)
    ]
    found += [
        (free[0], 0, Free(free[0], bookable_from(*free, now), _free_in_words(day, free)))
        for free in line.free_within(*period)
        if free[1] > now
    ]
    return [what for _, _, what in sorted(found, key=lambda each: each[:2])]


def _free_in_words(day: date, free: Period) -> str:
    return "free all day" if free == period_of(day) else f"free {told_on(day, *free)}"


@dataclass(frozen=True)
class MonthDay:
    """One day of the month sheet: each session and block once, with all that it takes."""

    day: date
    is_today: bool
    within: bool
    counts: list[str]
    things: list[tuple[Shown, list[str]]]
    further: int


def month_day(day: date, month: date, lines: Sequence[Line], now: datetime) -> MonthDay:
    period = period_of(day)
    found: dict[tuple, tuple[Shown, list[str]]] = {}
    for line in lines:
        for entry in line.entries_within(*period):
            shown, takes = found.setdefault(entry.key, (_shown(day, entry, now), []))
            takes.append(str(line.resource))
    things = sorted(found.values(), key=lambda each: each[0].entry.starts_at)
    return MonthDay(
        day,
        _holds(period, now),
        day.month == month.month,
        _counts(things),
        things[:ON_A_MONTH_DAY],
        max(0, len(things) - ON_A_MONTH_DAY),
    )


def _counts(things: list[tuple[Shown, list[str]]]) -> list[str]:
    """ "2 sessions, 1 hold, 1 block": what is on, in words."""
    looks = [shown.entry.look for shown, _ in things]
    counted = [
        ("hold", sum(look.endswith("-hold") for look in looks)),
        ("block", looks.count("block")),
        ("inquiry", looks.count("inquiry")),
        ("taken", looks.count("taken")),
    ]
    sessions = len(looks) - sum(count for _, count in counted)
    return [_counted(word, count) for word, count in [("session", sessions), *counted] if count]


def _counted(word: str, count: int) -> str:
    plurals = {"inquiry": "inquiries", "taken": "taken"}
    return f"{count} {word if count == 1 else plurals.get(word, f'{word}s')}"


def _holds(period: Period, now: datetime) -> bool:
    return period[0] <= now < period[1]
