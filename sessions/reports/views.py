from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.paper import pdf_response, render_pdf
from sessions.reports.call_sheet import call_sheet
from sessions.reports.session_report import session_report


def _session_of(request, pk) -> RecordingSession:
    sessions = RecordingSession.objects.visible_to(request.user)
    return get_object_or_404(sessions.select_related("project__client"), pk=pk)


def session(request: HttpRequest, pk: int) -> HttpResponse:
    """What came of a session."""
    report = session_report(_session_of(request, pk))
    return TemplateResponse(request, "sessions/reports/session.html", {"report": report})


def session_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same on paper, with lines to sign."""
    session = _session_of(request, pk)
    pdf = render_pdf(
        "sessions/reports/session_report.html",
        {"report": session_report(session)},
        title=f"Session report: {session}",
        base_url=request.build_absolute_uri(reverse("reports:session", args=[session.pk])),
        printed_at=timezone.now(),
    )
    return pdf_response(pdf, name=f"report {session}")


def call_sheet_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The call sheet; with phone numbers for the house, unless the address says `?phones=no`."""
    session = _session_of(request, pk)
    for_the_house = request.user.has_perm("studio_sessions.see_contacts")
    pdf = render_pdf(
        "sessions/reports/call_sheet.html",
        {
            "sheet": call_sheet(session),
            "with_phones": for_the_house and request.GET.get("phones") != "no",
        },
        title=f"Call sheet: {session}",
        base_url=request.build_absolute_uri(session.get_absolute_url()),
        printed_at=timezone.now(),
    )
    return pdf_response(pdf, name=f"call sheet {session}")
