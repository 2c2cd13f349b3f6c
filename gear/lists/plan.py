"""What a list would make and change, and everything that is wrong with it, before anything is done."""

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from django.core.exceptions import ObjectDoesNotExist, ValidationError
from django.db.models import Model

from gear.comma_separated import SEPARATORS, Unreadable, read_lines, separator_of
from gear.lists.columns import Column

MOST_LINES = 2000
MOST_COLUMNS = 100  # more than any list has, and few enough to say of each that it is not known


@dataclass(frozen=True)
class Problem:
    """What is wrong, and where: a line of the file, a column by its heading, what is typed there."""

    line: int
    column: str
    typed: str
    sentence: str


@dataclass(frozen=True)
class Row:
    """What becomes of one line: the thing as it would be saved, and each fact that is new in it."""

    line: int
    thing: Model
    is_new: bool
    changes: tuple[str, ...]
    is_first: bool = False  # others may point to it, so it is saved before them
    notice: str = ""  # what to look at, though nothing is wrong

    @property
    def is_saved(self) -> bool:
        return self.is_new or bool(self.changes)

    @property
    def name(self) -> str:
        """What to call it, also where its line does not say what it is."""
        try:
            return str(self.thing)
        except ObjectDoesNotExist:
            return ""


@dataclass
class Plan:
    separator: str = ","
    problems: list[Problem] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def refuse(self, line: int, column: str, typed: str, sentence: str) -> None:
        self.problems.append(Problem(line, column, typed, sentence))

    @property
    def separator_notice(self) -> str:
        return f"Read with {SEPARATORS[self.separator]} as separators."

    @property
    def can_be_imported(self) -> bool:
        return not self.problems and any(row.is_saved for row in self.rows)

    @property
    def to_make(self) -> list[Row]:
        return [row for row in self.rows if row.is_new]

    @property
    def to_change(self) -> list[Row]:
        return [row for row in self.rows if row.changes and not row.is_new]

    @property
    def unchanged_count(self) -> int:
        return sum(not row.is_saved for row in self.rows)

    def fingerprint(self) -> str:
        """Tells two plans apart that would not make and change the same."""
        said = json.dumps([[row.line, row.is_new, row.changes] for row in self.rows])
        return hashlib.sha256(said.encode()).hexdigest()


@dataclass(frozen=True)
class Line:
    """A line of the list: its number in the file, and its cells by heading."""

    number: int
    cells: dict[str, str]


def read_list(
    text: str,
    plan: Plan,
    *,
    headings: Iterable[str],
    needed: Iterable[str],
    known_as: Mapping[str, str] | None = None,
) -> list[Line]:
    """The lines under the head. What is wrong with the head or the form of a line goes on the plan.

    known_as: what other programs call a column, in lower case, and its heading here.
    """
    plan.separator = separator_of(text)
    try:
        numbered = list(read_lines(text))
    except Unreadable as problem:
        plan.refuse(problem.line, "", "", str(problem))
        return []
    if not numbered:
        plan.refuse(1, "", "", "This list is empty.")
        return []
    (head_line, head), *rest = numbered
    if len(head) > MOST_COLUMNS:
        plan.refuse(head_line, "", "", f"A list has at most {MOST_COLUMNS} columns.")
        return []
    head = [(known_as or {}).get(_words(cell), cell) for cell in head]
    found = _headings(head_line, head, plan, list(headings), list(needed))
    if len(rest) > MOST_LINES:
        plan.refuse(
            rest[MOST_LINES][0],
            "",
            "",
            f"A list has at most {MOST_LINES} lines. Import this one in parts.",
        )
        return []
    return [_line(number, cells, found, plan) for number, cells in rest] if found else []


def _words(cell: str) -> str:
    return " ".join(cell.split()).casefold()


def _headings(line: int, head: list[str], plan: Plan, known: list[str], needed: list[str]):
    """The known heading over each column, None over one that is not known; empty where it can't go on."""
    by_words = {heading.casefold(): heading for heading in known}
    found = [by_words.get(_words(cell)) for cell in head]
    for cell, heading in zip(head, found, strict=True):
        if heading is None:
            plan.refuse(
                line, cell, cell, f"There is no such column. The columns are: {', '.join(known)}."
            )
    for heading in dict.fromkeys(filter(None, found)):
        if found.count(heading) > 1:
            plan.refuse(line, heading, heading, "This column is there twice: remove one.")
    missing = [heading for heading in needed if heading not in found]
    for heading in missing:
        plan.refuse(
            line,
            heading,
            "",
            f"The first line must name the columns; “{heading}” is missing.",
        )
    return [] if missing else found


def _line(number: int, cells: list[str], headings: list[str | None], plan: Plan) -> Line:
    if len(cells) != len(headings):
        plan.refuse(
            number,
            "",
            "",
            f"This line has {len(cells)} cells, the first line has {len(headings)}: look for a "
            f"missing or an extra separator.",
        )
    pairs = zip(headings, cells, strict=False)
    return Line(number, {heading: cell for heading, cell in pairs if heading})


def read_facts(thing: Model, line: Line, columns: Iterable[Column], plan: Plan) -> list[str]:
    """Give the thing what the line says, and return what that changes, in words."""
    changes, refused = [], set()
    for column in columns:
        if column.heading not in line.cells:
            continue
        before = "" if thing._state.adding else column.shown(thing)
        cell = line.cells[column.heading]
        try:
            column.put(thing, cell)
        except ValidationError as error:
            refused.add(column.field.name)
            plan.refuse(line.number, column.heading, cell, " ".join(error.messages))
            continue
        if column.shown(thing) != before:
            changes.append(in_words(column.heading, before, column.shown(thing), thing))
    fields = {column.field.name for column in columns} - refused
    others = {each.name for each in thing._meta.fields} - fields
    check(lambda: thing.clean_fields(exclude=others), line, columns, plan)
    return changes


def in_words(heading: str, before: str, after: str, thing: Model) -> str:
    if thing._state.adding:
        return f"{heading} {after}"
    return f"{heading}: {before or 'empty'} → {after or 'empty'}"


def check(rule: Callable[[], None], line: Line, columns: Iterable[Column], plan: Plan) -> None:
    """Put on the plan what a rule of the thing's finds wrong, each under its column."""
    headings = {column.field.name: column.heading for column in columns}
    try:
        rule()
    except ValidationError as error:
        for name, sentences in error.message_dict.items():
            heading = headings.get(name, "")
            plan.refuse(line.number, heading, line.cells.get(heading, ""), " ".join(sentences))
