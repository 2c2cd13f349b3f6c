"""Comma-separated values (RFC 4180) out and in."""

import csv
import io
import re
from collections.abc import Iterable, Iterator

from django.http import StreamingHttpResponse

# What a spreadsheet takes for the beginning of a formula.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}


class Unreadable(Exception):
    """Not text, or not a list; `line` is where that shows, `str()` says what to do about it."""

    def __init__(self, line: int, sentence: str):
        self.line = line
        super().__init__(sentence)


def lines_of(head: list[str], rows: Iterable[list[str]]) -> Iterator[str]:
    """The head and a line for each row, each as soon as it is read."""
    writer = csv.writer(_Echo())
    yield "\ufeff"  # spreadsheets read UTF-8 only where a byte order mark says so
    yield writer.writerow(head)
    for cells in rows:
        yield writer.writerow(cells)


def csv_answer(filename: str, head: list[str], rows: Iterable[list[str]]) -> StreamingHttpResponse:
    return StreamingHttpResponse(
        lines_of(head, rows),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{filename}"'},
    )


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
