"""A bay as a table: a line for each column of jacks, a cell for each row."""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.patchbay.models import PatchPoint


@dataclass(frozen=True)
class GridLine:
    column: int
    cells: list[PatchPoint | None]


@dataclass(frozen=True)
class Grid:
    rows: list[str]
    lines: list[GridLine]


def grid_of(points: Iterable[PatchPoint]) -> Grid:
    by_place = {(point.row, point.column): point for point in points}
    rows = sorted({row for row, _ in by_place})
    columns = sorted({column for _, column in by_place})
    lines = [GridLine(column, [by_place.get((row, column)) for row in rows]) for column in columns]
    return Grid(rows, lines)


def next_row(rows: list[str]) -> str:
    """The letter for a row below the last one."""
    last = rows[-1] if rows else ""
    is_letter = len(last) == 1 and "A" <= last < "Z"
    return chr(ord(last) + 1) if is_letter else "A" if not last else f"{len(rows) + 1}"
