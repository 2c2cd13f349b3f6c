"""Every invoice, deposit invoice and credit note, on a page and as CSV: the same filters and order."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone

from gear.asked import all_rows, in_pages
from gear.comma_separated import as_text, csv_answer
from sessions.money.invoices.filters import InvoiceFilter
from sessions.money.invoices.models import Invoice
from sessions.money.invoices.tables import InvoiceTable
from sessions.terms.currencies import rounded

AT_ONCE = 500  # invoices in memory, however long the list


def invoices(request: HttpRequest) -> HttpResponse:
    """The newest first."""
    found, table = _found(request)
    in_pages(request, table, 30)
    context = {"filter": found, "table": table}
    return TemplateResponse(request, "sessions/money/invoices/invoices.html", context)


def invoices_csv(request: HttpRequest) -> HttpResponse:
    """The whole of what the list shows."""
    found = all_rows(request, _found(request)[1]).iterator(chunk_size=AT_ONCE)
    rows = ([as_text(read(invoice)) for read in COLUMNS.values()] for invoice in found)
    return csv_answer(f"invoices-{timezone.localdate()}.csv", list(COLUMNS), rows)


def _found(request: HttpRequest) -> tuple[InvoiceFilter, InvoiceTable]:
    visible = Invoice.objects.visible_to(request.user).for_list()
    found = InvoiceFilter(request.GET, visible, request=request)
    return found, InvoiceTable(found.qs, order_by="-dated")


def _sum(name: str) -> Callable[[Invoice], str]:
    """Plain figures, so that a spreadsheet adds them up. Those of a credit note are positive, as on
    its paper: its kind says that they are taken away."""
    return lambda invoice: str(rounded(getattr(invoice, name), invoice.currency))


COLUMNS: dict[str, Callable[[Invoice], str]] = {
    "kind": lambda invoice: invoice.get_kind_display().lower(),
    "number": lambda invoice: str(invoice.number),
    "dated": lambda invoice: invoice.dated.isoformat(),
    "due": lambda invoice: invoice.due_on.isoformat() if invoice.due_on else "",
    "client": lambda invoice: invoice.client.name,
    "currency": lambda invoice: invoice.currency,
    "net": _sum("net"),
    "tax": _sum("tax"),
    "total": _sum("total"),
    "credits": lambda invoice: str(invoice.credits or ""),
    "issued by": lambda invoice: str(invoice.issued_by),
    "note": lambda invoice: invoice.note,
}
