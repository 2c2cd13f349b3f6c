from django.http import HttpRequest, HttpResponse
from django.utils.text import slugify

from sessions.bookings.event import session_ics
from sessions.bookings.pages import session_of
from sessions.desk.stored import CALL_SHEET, CALL_SHEET_WITHOUT_PHONES
from sessions.papers.stored.serving import paper_page


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
    for_the_house = request.user.has_perm("studio_sessions.see_contacts")
    with_phones = for_the_house and request.GET.get("phones") != "no"
    return paper_page(request, CALL_SHEET if with_phones else CALL_SHEET_WITHOUT_PHONES, pk)
