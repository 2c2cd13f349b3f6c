"""Drawings of a year in black and white, with their figures written on them: twelve bars, each in the
outline of what it could have been; and a bar for each of many."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from sessions.reports.usage.hours import NOTHING, Use, in_hours

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
STEP, BAR, TALLEST, FLOOR = 40, 26, 100, 120  # in the drawing's units: 480 wide, 140 tall
ROW, ROW_BAR, NAMED, LONGEST = 22, 14, 170, 250  # of a bar for each of many: 480 wide, too


@dataclass(frozen=True)
class Bar:
    """`label` stands above it; `outline` is the height of what it could have been, 0 where that is not
    known."""

    month: str
    label: str
    said: str
    x: int
    height: float
    outline: float = 0.0

    @property
    def middle(self) -> float:
        return self.x + BAR / 2

    @property
    def y(self) -> float:
        return round(FLOOR - self.height, 1)

    @property
    def outline_y(self) -> float:
        return round(FLOOR - self.outline, 1)

    @property
    def above(self) -> float:
        """Where its figure stands."""
        return min(self.y, self.outline_y) - 5


@dataclass(frozen=True)
class Plot:
    name: str
    total: str
    bars: tuple[Bar, ...]

    @property
    def in_words(self) -> str:
        """ "Rope Floor: Jan 12.00 h, Feb 0.00 h …" for who does not see the drawing."""
        return f"{self.name}: " + ", ".join(f"{bar.month} {bar.said}" for bar in self.bars)


def tallest_of(uses: Sequence[Use]) -> timedelta:
    """What plots of these have to have room for, so that they can be compared."""
    months = [month for use in uses for row in (use.months, use.open or ()) for month in row]
    return max(months, default=NOTHING)


def plot_use(use: Use, *, tallest: timedelta) -> Plot:
    """Hours by month, in the outline of the open ones: the figure is the share of these, else hours."""
    bars = []
    for number, (length, share) in enumerate(zip(use.months, use.percents, strict=True)):
        hours = in_hours(length)
        said = f"{hours} h" + ("" if share is None else f", {share} % of open hours")
        label = _hours(length) if share is None else f"{share} %"
        opened = use.open[number] if use.open else NOTHING
        bars.append(_bar(number, label if length else "", said, length, tallest, outline=opened))
    total = f"{in_hours(use.total)} h"
    if use.percent is not None:
        total += f", {use.percent} % of open hours"
    return Plot(f"{use.resource}", total, tuple(bars))


def plot_hours(name: str, months: Sequence[timedelta]) -> Plot:
    """Hours by month of many together."""
    bars = [
        _bar(number, _hours(length) if length else "", f"{in_hours(length)} h", length, max(months))
        for number, length in enumerate(months)
    ]
    return Plot(name, f"{in_hours(sum(months, NOTHING))} h", tuple(bars))


def plot_counts(name: str, counts: Sequence[tuple[int, int]], word: str) -> Plot:
    """By month, how many of how many: "3 of 5 confirmed"."""
    tallest = max(whole for _, whole in counts)
    bars = [
        _bar(number, f"{part}/{whole}" if whole else "", f"{part} of {whole}", part, tallest, whole)
        for number, (part, whole) in enumerate(counts)
    ]
    parts, wholes = (sum(column) for column in zip(*counts, strict=True))
    return Plot(name, f"{parts} of {wholes} {word}", tuple(bars))


def plot_amounts(name: str, months: Sequence[Decimal], currency: str) -> Plot:
    """Amounts by month; what is below zero has no bar, and its figure."""
    tallest = max(*months, Decimal(0))
    bars = [
        _bar(
            number,
            f"{amount:,.0f}".replace("-", "−") if amount else "",
            f"{amount:,f} {currency}",
            max(amount, Decimal(0)),
            tallest,
        )
        for number, amount in enumerate(months)
    ]
    return Plot(name, f"{sum(months):,f} {currency}", tuple(bars))


def _bar(number: int, label: str, said: str, length, tallest, outline=None) -> Bar:
    return Bar(
        MONTHS[number],
        label,
        said,
        x=number * STEP + (STEP - BAR) // 2,
        height=_height(length, tallest),
        outline=_height(outline, tallest) if outline else 0.0,
    )


def _height(length, tallest) -> float:
    return round(float(TALLEST * (length / tallest)), 1) if tallest else 0.0


def _hours(length: timedelta) -> str:
    return f"{in_hours(length).normalize():f}"


@dataclass(frozen=True)
class Row:
    """One of many: a name, and how far its bar reaches into the outline."""

    name: str
    percent: int
    y: int

    @property
    def length(self) -> float:
        return round(LONGEST * min(self.percent, 100) / 100, 1)

    @property
    def baseline(self) -> int:
        return self.y + ROW_BAR - 3


@dataclass(frozen=True)
class Rows:
    rows: tuple[Row, ...]
    left: int = NAMED
    longest: int = LONGEST
    thick: int = ROW_BAR

    @property
    def height(self) -> int:
        return ROW * len(self.rows) + 4

    @property
    def figures_at(self) -> int:
        return self.left + self.longest + 8

    @property
    def in_words(self) -> str:
        return ", ".join(f"{row.name} {row.percent} %" for row in self.rows)


def rows_of(uses: Sequence[Use]) -> Rows | None:
    """The year of each that has open hours, whoever was used most first."""
    shown = sorted(
        (use for use in uses if use.percent is not None),
        key=lambda use: (-use.percent, f"{use.resource}"),
    )
    rows = [Row(f"{use.resource}", use.percent, 2 + ROW * n) for n, use in enumerate(shown)]
    return Rows(tuple(rows)) if rows else None
