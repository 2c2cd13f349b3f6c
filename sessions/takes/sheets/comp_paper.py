"""The comp sheet on paper: in tables that fit a page, without the takes that have nothing of it."""

from dataclasses import dataclass
from itertools import pairwise

from sessions.songs.models import Part
from sessions.takes.comp.sheet import Cell, CompSheet, Row
from sessions.takes.models import TakePart

#: So many takes stand beside each other, on an upright page and on one that lies.
UPRIGHT, LYING = 14, 24


@dataclass(frozen=True)
class PaperRow:
    """`chosen` is None where no take is; `is_joined`: it is from another than the line above it."""

    row: Row
    chosen: TakePart | None
    is_joined: bool
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class CompPaper:
    """`tables`: the takes across, and the rows under them; `left_out`: takes that cover no line."""

    comp: CompSheet
    tables: tuple[tuple[tuple[TakePart, ...], tuple[PaperRow, ...]], ...]
    left_out: tuple[TakePart, ...]
    notes: tuple[Cell, ...]
    lies: bool


def comp_paper(part: Part) -> CompPaper:
    """In as many queries as the comp sheet takes."""
    comp = CompSheet(part)
    takes = {each.take_id: each for each in comp.takes}
    chosen = [takes.get(key) for key in comp.chosen]
    joined = [None not in pair and pair[0] != pair[1] for pair in pairwise(chosen)]
    columns = zip(*(cells for _row, cells in comp.table), strict=True)
    says_something = [any(map(_says_something, column)) for column in columns]
    shown = [number for number, says in enumerate(says_something) if says]
    lies = len(shown) > UPRIGHT
    tables = []
    for first in range(0, len(shown), LYING):
        across = shown[first : first + LYING]
        rows = tuple(
            PaperRow(row, take, is_joined, tuple(cells[number] for number in across))
            for (row, cells), take, is_joined in zip(
                comp.table, chosen, [False, *joined], strict=True
            )
        )
        tables.append((tuple(comp.takes[number] for number in across), rows))
    return CompPaper(
        comp,
        tuple(tables),
        tuple(each for each, says in zip(comp.takes, says_something, strict=False) if not says),
        tuple(
            cell for _row, cells in comp.table for cell in cells if cell.grade and cell.grade.note
        ),
        lies,
    )


def _says_something(cell: Cell) -> bool:
    return cell.covered is not False or cell.is_chosen or cell.grade is not None
