"""The one page of a list: filtered, sorted, in pages; or all of it as CSV, where the address says so."""

from collections.abc import Iterator, Mapping

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone

from gear.asked import all_rows, in_pages
from gear.comma_separated import csv_answer
from gear.tables import Listing, ListTable

AT_ONCE = 500  # rows in memory, however long the list


def list_page(
    request: HttpRequest,
    table: ListTable,
    template: str,
    context: Mapping | None = None,
    *,
    per_page: int = 25,
) -> HttpResponse:
    """The page, which gets the list as `table`; or its file."""
    if file := csv_asked(request, table):
        return file
    context = {**(context or {}), "table": in_pages(request, table, per_page)}
    return TemplateResponse(request, template, context)


def csv_asked(request: HttpRequest, *tables: ListTable | Listing) -> StreamingHttpResponse | None:
    """The file of that list which the address asks for: all that the list shows, in its order,
    written as it is read. None where it asks for none."""
    for table in tables:
        if table.csv_field in request.GET:
            columns = table.csv_columns()
            values = ([read(row) for read in columns.values()] for row in _rows(request, table))
            return csv_answer(f"{table.csv_name}-{timezone.localdate()}.csv", columns, values)
    return None


def _rows(request: HttpRequest, table: ListTable | Listing) -> Iterator:
    rows = table.rows if isinstance(table, Listing) else all_rows(request, table)
    return rows.iterator(chunk_size=AT_ONCE) if isinstance(rows, QuerySet) else iter(rows)
