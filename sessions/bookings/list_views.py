"""The list of sessions."""

from django.http import HttpRequest, HttpResponse

from gear.list_pages import list_page
from sessions.bookings.filters import SessionFilter
from sessions.bookings.models import RecordingSession
from sessions.bookings.tables import SessionTable


def session_list(request: HttpRequest) -> HttpResponse:
    """Sessions now and to come, the next first, unless the filter says otherwise."""
    asked = request.GET.copy()
    asked.setdefault("when", "upcoming")
    visible = RecordingSession.objects.visible_to(request.user).for_list()
    sessions = SessionFilter(asked, visible, request=request)
    order = "-starts_at" if asked["when"] == "past" else "starts_at"
    table = SessionTable(sessions.qs, order_by=order)
    template = "sessions/bookings/session_list.html"
    return list_page(request, table, template, {"filter": sessions}, per_page=30)
