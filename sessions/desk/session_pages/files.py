from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.text import slugify

from sessions.bookings.event import session_ics
from sessions.bookings.pages import session_alone, session_of
from sessions.desk.call_sheet import call_sheet
from sessions.desk.confirmation import confirmation
from sessions.papers.pdf import pdf_response, render_pdf


def confirmation_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """What is booked, for the client."""
    session = session_of(request, pk)
    paper = confirmation(session)
    pdf = render_pdf(
        "sessions/desk/confirmation.html",
        {"paper": paper},
        title=f"{paper.kind}: {session}",
        base_url=request.build_absolute_uri(session.get_absolute_url()),
        printed_at=timezone.now(),
    )
    return pdf_response(pdf, name=f"{paper.kind} {session}")


def session_file(request: HttpRequest, pk: int) -> HttpResponse:
    """The session as a file for a calendar."""
    session = session_of(request, pk)
    return HttpResponse(
        session_ics(session),
        content_type="text/calendar; charset=utf-8; method=PUBLISH",
        headers={
            "Content-Disposition": f'attachment; filename="{slugify(session.title) or "session"}.ics"'
        },
    )


def call_sheet_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The call sheet; with phone numbers for the house, unless the address says `?phones=no`."""
    session = session_alone(request, pk)
    for_the_house = request.user.has_perm("studio_sessions.see_contacts")
    pdf = render_pdf(
        "sessions/desk/call_sheet.html",
        {
            "sheet": call_sheet(session),
            "with_phones": for_the_house and request.GET.get("phones") != "no",
        },
        title=f"Call sheet: {session}",
        base_url=request.build_absolute_uri(session.get_absolute_url()),
        printed_at=timezone.now(),
    )
    return pdf_response(pdf, name=f"call sheet {session}")
