"""Every payment and refund."""

from django.http import HttpRequest, HttpResponse

from gear.list_pages import list_page
from sessions.money.payments.filters import PaymentFilter
from sessions.money.payments.models import Payment
from sessions.money.payments.tables import PaymentTable


def payments(request: HttpRequest) -> HttpResponse:
    """The newest first."""
    found = PaymentFilter(request.GET, Payment.objects.for_list(), request=request)
    table = PaymentTable(found.qs, order_by="-received_on")
    page = "sessions/money/payments/list.html"
    return list_page(request, table, page, {"filter": found}, per_page=30)
