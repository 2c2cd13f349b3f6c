"""What an address or a form asks for, read without trusting whoever wrote it."""

from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme
from django_tables2 import RequestConfig, Table


def whole_number(text: str | None) -> int | None:
    """The number that was sent, if it is a whole one and no larger than a database holds."""
    is_one = text and text.isascii() and text.isdecimal() and len(text) < 19
    return int(text) if is_one else None


def way_back(request: HttpRequest, otherwise: str) -> str:
    """Where a link or a form stood (`next`), if that is in this house."""
    return inside(request.POST.get("next", request.GET.get("next", "")), otherwise)


def inside(path: str, otherwise: str) -> str:
    """The path, if it leads to a page of this house."""
    here = path.startswith("/") and url_has_allowed_host_and_scheme(path, allowed_hosts=None)
    return path if here else otherwise


def in_pages(request: HttpRequest, table: Table, per_page: int = 25) -> Table:
    """Sort the table and turn to the page that the address says, or to the nearest there is; how
    long a page is does not stand in the address."""
    all_rows(request, table)
    table.paginate(per_page=per_page)
    table.page = table.paginator.get_page(request.GET.get(table.prefixed_page_field))
    return table


def all_rows(request: HttpRequest, table: Table) -> QuerySet:
    """What the table shows, in the order that the address says, on however many pages."""
    RequestConfig(request, paginate=False).configure(table)
    return table.data.data
