"""The list of sessions, on a page and as CSV: the same filters, the same order."""

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone
from django_tables2 import RequestConfig

from gear.asked import in_pages
from sessions.bookings.filters import SessionFilter
from sessions.bookings.models import RecordingSession
from sessions.bookings.session_csv import csv_lines
from sessions.bookings.tables import SessionTable


def session_list(request: HttpRequest) -> HttpResponse:
    """Sessions now and to come, the next first, unless the filter says otherwise."""
    sessions, table = _found(request)
    in_pages(request, table, 30)
    context = {"filter": sessions, "table": table}
    return TemplateResponse(request, "sessions/bookings/session_list.html", context)


def session_csv(request: HttpRequest) -> HttpResponse:
    """The whole of what the list shows, page after page, written as it is read."""
    _, table = _found(request)
    RequestConfig(request, paginate=False).configure(table)
    return StreamingHttpResponse(
        csv_lines(table.data.data),
        content_type="text/csv; charset=utf-8",
        headers={
            "Content-Disposition": f'attachment; filename="sessions-{timezone.localdate()}.csv"'
        },
    )


def _found(request: HttpRequest) -> tuple[SessionFilter, SessionTable]:
    asked = request.GET.copy()
    asked.setdefault("when", "upcoming")
    sessions = SessionFilter(
        asked,
        RecordingSession.objects.visible_to(request.user).for_list(),
        request=request,
    )
    earliest_first = asked["when"] != "past"
    return sessions, SessionTable(
        sessions.qs, order_by="starts_at" if earliest_first else "-starts_at"
    )
