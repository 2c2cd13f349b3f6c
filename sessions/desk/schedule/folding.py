"""Hours of a sheet in which nothing happens and nobody works: they are folded to a narrow strip."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import groupby

from sessions.calendar.schedule.days import Period
from sessions.calendar.schedule.diary import Line
from sessions.calendar.schedule.layout import overlap

AT_LEAST = timedelta(hours=2)  # less is no shorter when it is folded
NIGHT = range(7)  # hours without anything, of who or what is there at all hours


def is_wanted(period: Period, lines: Sequence[Line], *, at_night: bool) -> bool:
    """Whether any of the lines has something on then, or is open then: what is open around the clock
    is so by day only."""
    return any(
        any(overlap(entry.period, period) for entry in line.entries)
        or any(
            overlap(opened, period) and not (at_night and is_endless(opened))
            for opened in line.open
        )
        for line in lines
    )


def is_endless(opened: Period) -> bool:
    """Whether it is open around the clock, or so nearly that its night says nothing."""
    return opened[1] - opened[0] >= timedelta(hours=22)


def folds(stretches: Sequence[tuple[datetime, datetime, bool]]) -> list[Period]:
    """What may be folded, of stretches that follow each other and say whether they are wanted."""
    found = []
    for wanted, run in groupby(stretches, key=lambda each: each[2]):
        run = list(run)
        if not wanted and run[-1][1] - run[0][0] >= AT_LEAST:
            found.append((run[0][0], run[-1][1]))
    return found
