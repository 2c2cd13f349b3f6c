"""The list of sessions, on a page and as CSV: the same filters, the same order."""

from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone

from gear.asked import all_rows, in_pages
from gear.comma_separated import csv_answer
from sessions.bookings.filters import SessionFilter
from sessions.bookings.models import RecordingSession
from sessions.bookings.session_csv import COLUMNS, csv_rows
from sessions.bookings.tables import SessionTable


def session_list(request: HttpRequest) -> HttpResponse:
    """Sessions now and to come, the next first, unless the filter says otherwise."""
    sessions, table = _found(request)
    in_pages(request, table, 30)
    context = {"filter": sessions, "table": table}
    return TemplateResponse(request, "sessions/bookings/session_list.html", context)


def session_csv(request: HttpRequest) -> HttpResponse:
    """The whole of what the list shows, written as it is read."""
    rows = csv_rows(all_rows(request, _found(request)[1]))
    return csv_answer(f"sessions-{timezone.localdate()}.csv", list(COLUMNS), rows)


def _found(request: HttpRequest) -> tuple[SessionFilter, SessionTable]:
    asked = request.GET.copy()
    asked.setdefault("when", "upcoming")
    visible = RecordingSession.objects.visible_to(request.user).for_list()
    sessions = SessionFilter(asked, visible, request=request)
    order = "-starts_at" if asked["when"] == "past" else "starts_at"
    return sessions, SessionTable(sessions.qs, order_by=order)
