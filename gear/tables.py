"""What the tables of lists have in common."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import django_tables2 as tables
from django.utils.text import slugify

FIGURE = {"th": {"class": "num"}, "td": {"class": "num mono"}}
RETIRED = {"class": lambda record: "retired" if record.retired else ""}

Columns = dict[str, Callable[[object], object]]


class _GoesOutAsCsv:
    """A list has a `caption`, which names it and its file, and a `prefix` where a page has several."""

    caption: str
    prefix: str

    @property
    def csv_name(self) -> str:
        return slugify(self.caption, allow_unicode=True)

    @property
    def csv_field(self) -> str:
        """What an address says that asks for the file."""
        return f"{self.prefix or ''}csv"


class ListTable(_GoesOutAsCsv, tables.Table):
    """A list that stands on a page and goes out as CSV: the same rows in the same order."""

    def csv_columns(self) -> Columns:
        """The head of each column of the file, and what a row says there: any value that
        `gear.comma_separated.cell` writes."""
        raise NotImplementedError


@dataclass(frozen=True)
class Listing(_GoesOutAsCsv):
    """Rows that a template draws as a table of its own, with `components/table_foot.html` below it;
    they go out as those of a ListTable do."""

    caption: str
    columns: Columns
    rows: Iterable
    prefix: str = ""

    def csv_columns(self) -> Columns:
        return self.columns
