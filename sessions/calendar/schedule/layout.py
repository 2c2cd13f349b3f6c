"""Where things stand on the sheet of a day: lanes side by side, rows down the page. Pure.

Nothing here knows what a thing is; a period is half-open, and a row never holds the beginning or the
end of anything in its middle, so that every thing covers whole rows.
"""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

BESIDE = "beside"  # what stands beside a thing that does not take the column's whole width


class Part(Protocol):
    starts_at: datetime
    ends_at: datetime


@dataclass(frozen=True)
class Cell:
    """A rectangle of the sheet: `rows` rows from `row` on, `lanes` lanes from `lane` on."""

    what: object
    row: int
    rows: int
    lane: int
    lanes: int


@dataclass(frozen=True)
class Column:
    lanes: int
    cells: list[Cell]


def overlap(one: tuple, other: tuple) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def lanes_of(periods: Sequence[tuple]) -> list[tuple[int, int]]:
    """For each half-open period its lane, and how many lanes it may spread over to the right.

    Each gets the first lane that is free all the while, in the order in which they are given: who
    has rank 1 stands on the left.
    """
    lanes: list[list[tuple]] = []
    chosen = []
    for period in periods:
        lane = next((i for i, held in enumerate(lanes) if _is_free(held, period)), len(lanes))
        if lane == len(lanes):
            lanes.append([])
        lanes[lane].append(period)
        chosen.append(lane)
    return [
        (lane, _spread(lanes, lane, period)) for lane, period in zip(chosen, periods, strict=True)
    ]


def marks_of(
    starts_at: datetime, ends_at: datetime, instants: Iterable[datetime]
) -> list[datetime]:
    """The instants within the period and its ends, in order: between two of them lies a row."""
    within = {at for at in instants if starts_at < at < ends_at}
    return [starts_at, *sorted(within), ends_at]


def laid_out(
    things: Sequence[Sequence[Part]], free: Sequence[Hashable], marks: Sequence[datetime]
) -> Column:
    """One column of the sheet: every part of every thing, and what is free, without a hole.

    A thing is given by its parts, which follow each other without a gap and whose ends are all
    among `marks`. `free` says of each row what it is where nothing stands in it; rows that follow
    each other and say the same become one cell.
    """
    row_at = {mark: row for row, mark in enumerate(marks)}
    places = lanes_of([(parts[0].starts_at, parts[-1].ends_at) for parts in things])
    lanes = max((lane + 1 for lane, _ in places), default=1)
    cells = []
    for parts, (lane, spread) in zip(things, places, strict=True):
        for part in parts:
            row = row_at[part.starts_at]
            cells.append(Cell(part, row, row_at[part.ends_at] - row, lane, spread))
    cells += _gaps(_taken(cells, len(free), lanes), free)
    return Column(lanes, sorted(cells, key=lambda cell: (cell.row, cell.lane)))


def _is_free(held: list[tuple], period: tuple) -> bool:
    return not any(overlap(period, other) for other in held)


def _spread(lanes: list[list[tuple]], lane: int, period: tuple) -> int:
    beyond = lane + 1
    while beyond < len(lanes) and _is_free(lanes[beyond], period):
        beyond += 1
    return beyond - lane


def _taken(cells: list[Cell], rows: int, lanes: int) -> list[list[bool]]:
    taken = [[False] * lanes for _ in range(rows)]
    for cell in cells:
        for row in taken[cell.row : cell.row + cell.rows]:
            row[cell.lane : cell.lane + cell.lanes] = [True] * cell.lanes
    return taken


def _gaps(taken: list[list[bool]], free: Sequence[Hashable]) -> list[Cell]:
    gaps: list[Cell] = []
    above: dict[tuple[int, int], int] = {}  # (lane, lanes) -> the gap that ends in the row before
    for row, lanes in enumerate(taken):
        here = {}
        for lane, wide in _free_runs(lanes):
            what = free[row] if wide == len(lanes) else BESIDE
            longer = above.get((lane, wide))
            if longer is not None and gaps[longer].what == what:
                gap = gaps[longer]
                gaps[longer] = Cell(what, gap.row, gap.rows + 1, lane, wide)
                here[lane, wide] = longer
            else:
                here[lane, wide] = len(gaps)
                gaps.append(Cell(what, row, 1, lane, wide))
        above = here
    return gaps


def _free_runs(lanes: list[bool]) -> Iterator[tuple[int, int]]:
    start = None
    for lane, taken in enumerate([*lanes, True]):
        if taken and start is not None:
            yield start, lane - start
            start = None
        elif not taken and start is None:
            start = lane
