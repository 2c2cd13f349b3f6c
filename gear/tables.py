"""What the tables of lists have in common."""

from collections.abc import Callable

import django_tables2 as tables
from django.utils.text import slugify

FIGURE = {"th": {"class": "num"}, "td": {"class": "num mono"}}
RETIRED = {"class": lambda record: "retired" if record.retired else ""}

Columns = dict[str, Callable[[object], object]]


class ListTable(tables.Table):
    """A list that stands on a page and goes out as CSV: the same rows in the same order.

    `caption` names the list, and its file.
    """

    def csv_columns(self) -> Columns:
        """The head of each column of the file, and what a row says there: any value that
        `gear.comma_separated.cell` writes."""
        raise NotImplementedError

    @property
    def csv_name(self) -> str:
        return slugify(self.caption)

    @property
    def csv_field(self) -> str:
        """What an address says that asks for the file."""
        return f"{self.prefix}csv"
