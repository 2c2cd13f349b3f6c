"""Comma-separated values (RFC 4180) out and in."""

import csv
import io
import re
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from decimal import Decimal

from django.http import StreamingHttpResponse
from django.utils import timezone
from django.utils.http import content_disposition_header

# What a spreadsheet takes for the beginning of a formula, also as letters of full width.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}


class Unreadable(Exception):
    """Not text, or not a list; `line` is where that shows, `str()` says what to do about it."""

    def __init__(self, line: int, sentence: str):
        self.line = line
        super().__init__(sentence)


def lines_of(head: Iterable[str], rows: Iterable[Iterable]) -> Iterator[str]:
    """The head and a line for each row of values, each as soon as it is read."""
    writer = csv.writer(_Echo())
    yield "\ufeff"  # spreadsheets read UTF-8 only where a byte order mark says so
    yield writer.writerow(map(cell, head))
    for values in rows:
        yield writer.writerow(map(cell, values))


def csv_answer(
    filename: str, head: Iterable[str], rows: Iterable[Iterable]
) -> StreamingHttpResponse:
    """A file of rows of values, as `cell` writes them."""
    return StreamingHttpResponse(
        lines_of(head, rows),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": content_disposition_header(True, filename)},
    )


def cell(value) -> str:
    """What stands in the cell: figures plain, yes or no, days and times as `instant` has them,
    nothing for None; all else is text, which no spreadsheet runs."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, int | float):
        return str(value)
    if isinstance(value, datetime):
        return instant(value)
    return value.isoformat() if isinstance(value, date) else as_text(str(value))


def instant(at: datetime, timespec: str = "minutes") -> str:
    """By the studio’s clock, as spreadsheets take it (ISO 8601, a space for the T): 2026-06-01 11:00.

    In the hour that comes twice the distance from UTC follows: 2026-10-25 01:30+00:00.
    """
    local = timezone.localtime(at)
    comes_twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    shown = local if comes_twice else local.replace(tzinfo=None)
    return shown.isoformat(sep=" ", timespec=timespec)


def as_text(cell: str) -> str:
    """The cell so that no spreadsheet runs it: what begins like a formula gets an apostrophe.

    Names and notes come from anybody who can type; a reader that is no spreadsheet sees one
    character more in those rare cells.
    """
    return f"'{cell}" if cell.lstrip("'").startswith(FORMULA) else cell


def as_typed(cell: str) -> str:
    """The cell without the apostrophe that `as_text` gives it, and without spaces around it."""
    if cell.startswith("'") and as_text(cell) != cell:
        cell = cell[1:]
    return cell.strip()


def decoded(data: bytes) -> str:
    """The text of a file. Raises Unreadable where it is no UTF-8."""
    if data.startswith(b"PK\x03\x04") or data.startswith(b"\xd0\xcf\x11\xe0"):
        raise Unreadable(
            1, "This is a spreadsheet’s own file. Save it as CSV in UTF-8, and choose that file."
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise Unreadable(1, "This file is in UTF-16. Save it as CSV in UTF-8.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise Unreadable(
            line,
            f"The file is not in UTF-8: byte {data[error.start]:#04x} is none of it. Save it as CSV in "
            "UTF-8, so that accented letters are read correctly.",
        ) from error


def separator_of(text: str) -> str:
    """What parts the cells of the first line: the commonest of comma, semicolon and tab."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    unquoted = re.sub(r'"[^"]*"', "", first)
    return max(SEPARATORS, key=unquoted.count)


def read_lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each line that says anything, with the number of its first line in the file.

    Raises Unreadable where a quotation mark is left open or stands where none may.
    """
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise Unreadable(line, "There is a NUL character: this is not a text file.")
    reader = csv.reader(
        io.StringIO(text.removeprefix("\ufeff"), newline=""),
        delimiter=separator_of(text),
        strict=True,
    )
    before = 0
    while True:
        try:
            cells = next(reader, None)
        except csv.Error as error:
            raise Unreadable(
                before + 1,
                f"A quotation mark is in the wrong place ({error}). A cell is quoted as a whole; "
                'a quotation mark inside it is written twice: "12"" monitor".',
            ) from error
        if cells is None:
            return
        if any(cell.strip() for cell in cells):
            yield before + 1, [as_typed(cell) for cell in cells]
        before = reader.line_num


class _Echo:
    """Gives back what the writer writes, so that it need not be kept."""

    def write(self, line: str) -> str:
        return line
