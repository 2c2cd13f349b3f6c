import pytest

from gear.patchbay.grid import grid_of, next_row
from gear.patchbay.models import PatchPoint


def test_grid_has_a_line_for_each_column_and_a_cell_for_each_row():
    """A1 . A3 over B1 B2 ."""
    a1, a3 = PatchPoint(row="A", column=1), PatchPoint(row="A", column=3)
    b1, b2 = PatchPoint(row="B", column=1), PatchPoint(row="B", column=2)

    grid = grid_of([b2, a3, a1, b1])

    assert grid.rows == ["A", "B"]
    assert [(line.column, line.cells) for line in grid.lines] == [
        (1, [a1, b1]),
        (2, [None, b2]),
        (3, [a3, None]),
    ]


@pytest.mark.parametrize(
    ("rows", "name"), [([], "A"), (["A", "B"], "C"), (["Y", "Z"], "3"), (["1", "2"], "3")]
)
def test_next_row_is_named_after_the_last(rows, name):
    assert next_row(rows) == name
