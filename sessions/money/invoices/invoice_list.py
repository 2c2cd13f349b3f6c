"""Every invoice, deposit invoice and credit note."""

from django.http import HttpRequest, HttpResponse

from gear.list_pages import list_page
from sessions.money.invoices.filters import InvoiceFilter
from sessions.money.invoices.models import Invoice
from sessions.money.invoices.tables import InvoiceTable


def invoices(request: HttpRequest) -> HttpResponse:
    """The newest first."""
    visible = Invoice.objects.visible_to(request.user).for_list().with_balance()
    found = InvoiceFilter(request.GET, visible, request=request)
    table = InvoiceTable(found.qs, order_by="-dated")
    page = "sessions/money/invoices/invoices.html"
    return list_page(request, table, page, {"filter": found}, per_page=30)
