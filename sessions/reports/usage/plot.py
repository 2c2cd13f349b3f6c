"""Twelve bars: the drawing of a year, in black and white, with its figures written on it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from sessions.reports.usage.hours import hours_of

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
STEP, BAR, TALLEST, FLOOR = 40, 26, 100, 120  # in the drawing's units: 480 wide, 140 tall


@dataclass(frozen=True)
class Bar:
    month: str
    hours: Decimal
    x: int
    y: float
    height: float

    @property
    def middle(self) -> float:
        return self.x + BAR / 2

    @property
    def above(self) -> float:
        """Where its figure stands."""
        return self.y - 5


@dataclass(frozen=True)
class Plot:
    name: str
    total: Decimal
    bars: tuple[Bar, ...]

    @property
    def in_words(self) -> str:
        """ "Rope Floor: Jan 12 h, Feb 0 h …" for who does not see the drawing."""
        return f"{self.name}: " + ", ".join(f"{bar.month} {bar.hours} h" for bar in self.bars)


def plot(name: str, months: Sequence[timedelta], *, tallest: timedelta) -> Plot:
    """A bar for each month; `tallest` is drawn in full height, so that plots can be compared."""
    return Plot(name, hours_of(sum(months, timedelta(0))), tuple(_bars(months, tallest)))


def _bars(months: Sequence[timedelta], tallest: timedelta):
    for number, (month, length) in enumerate(zip(MONTHS, months, strict=True)):
        height = round(TALLEST * (length / tallest), 1) if tallest else 0.0
        yield Bar(
            month,
            hours_of(length),
            x=number * STEP + (STEP - BAR) // 2,
            y=round(FLOOR - height, 1),
            height=height,
        )
