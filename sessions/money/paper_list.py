"""Every quote and work order by its number."""

from django.http import HttpRequest, HttpResponse

from gear.list_pages import list_page
from sessions.bookings.models import RecordingSession
from sessions.money.filters import PaperFilter
from sessions.money.models import MoneyPaper
from sessions.money.tables import PaperTable


def papers(request: HttpRequest) -> HttpResponse:
    """Quotes and work orders, the newest first."""
    sessions = RecordingSession.objects.visible_to(request.user)
    visible = MoneyPaper.objects.filter(session__in=sessions)
    found = PaperFilter(
        request.GET,
        visible.select_related("session__project__client", "issued_by", "signed__signature"),
        request=request,
    )
    table = PaperTable(found.qs, order_by="-issued_at")
    return list_page(request, table, "sessions/money/papers.html", {"filter": found}, per_page=30)
