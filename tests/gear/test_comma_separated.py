from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from gear.comma_separated import (
    Unreadable,
    as_text,
    as_typed,
    cell,
    decoded,
    instant,
    lines_of,
    read_lines,
)


@given(st.text(st.characters(exclude_categories=("C", "Z"))))
def test_cell_reads_back_as_it_was_typed(cell):
    assert as_typed(as_text(cell)) == cell


@pytest.mark.parametrize("cell", ["=1+1", "+44 20", "-10", "@home", "'=1"])
def test_cell_that_looks_like_a_formula_gets_an_apostrophe(cell):
    assert as_text(cell) == f"'{cell}"


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (-3, "-3"),
        (Decimal("-182.40"), "-182.40"),
        (Decimal("1E+3"), "1000"),
        (-1.5, "-1.5"),
        (date(2026, 6, 1), "2026-06-01"),
        (datetime(2026, 6, 1, 10, tzinfo=UTC), "2026-06-01 11:00"),
        ("-3", "'-3"),
        ("\uff1d1+1", "'\uff1d1+1"),
    ],
)
def test_value_is_written_as_a_spreadsheet_takes_it(value, written):
    """A figure below zero stays one; text that looks like one does not. Signs, also those of full
    width, from the Open Worldwide Application Security Project's page on CSV injection."""
    assert cell(value) == written


@pytest.mark.parametrize(
    ("at", "written"),
    [
        (datetime(2026, 10, 25, 0, 30, tzinfo=UTC), "2026-10-25 01:30+01:00"),
        (datetime(2026, 10, 25, 1, 30, tzinfo=UTC), "2026-10-25 01:30+00:00"),
        (datetime(2026, 10, 25, 2, 0, tzinfo=UTC), "2026-10-25 02:00"),
        (datetime(2026, 3, 29, 1, 0, tzinfo=UTC), "2026-03-29 02:00"),
    ],
)
def test_hour_that_comes_twice_says_which_it_is(at, written):
    """Europe/London; Python's own reader of ISO 8601 finds the instant again."""
    assert instant(at) == written
    read = datetime.fromisoformat(written)
    assert (read if read.tzinfo else timezone.make_aware(read)) == at


def test_what_is_written_is_read_back_with_its_lines_counted():
    written = "".join(lines_of(["tag", "note"], [["QS-1", 'Two\nlines, 12" wide'], ["QS-2", ""]]))

    read = list(read_lines(decoded(written.encode())))

    assert read == [(1, ["tag", "note"]), (2, ["QS-1", 'Two\nlines, 12" wide']), (4, ["QS-2", ""])]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_cells_are_parted_by_whatever_parts_the_first_line(separator):
    text = f'\n"tag, or number"{separator}note\nQS-1{separator}"a,b;c"\n'

    assert [cells for _, cells in read_lines(text)] == [
        ["tag, or number", "note"],
        ["QS-1", "a,b;c"],
    ]


@pytest.mark.parametrize(
    ("data", "line", "said"),
    [
        (b"tag,note\nQS-1,Caf\xe9\n", 2, "not in UTF-8"),
        ("tag,note\n".encode("utf-16"), 1, "UTF-16"),
        (b"PK\x03\x04rest", 1, "spreadsheet’s own file"),
    ],
)
def test_file_that_is_no_utf_8_text_is_refused(data, line, said):
    with pytest.raises(Unreadable, match=said) as refused:
        decoded(data)

    assert refused.value.line == line


@pytest.mark.parametrize(
    ("text", "line"),
    [('tag,note\nQS-1,"open\n', 2), ('tag\n"QS"-1\n', 2), ("tag\nQS-1\nQS\0-2\n", 3)],
)
def test_text_that_is_no_list_is_refused_at_its_line(text, line):
    with pytest.raises(Unreadable) as refused:
        list(read_lines(text))

    assert refused.value.line == line
