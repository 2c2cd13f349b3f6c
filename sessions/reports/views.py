from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse

from sessions.bookings.pages import session_alone
from sessions.papers.stored.serving import paper_page
from sessions.reports.session_report import session_report
from sessions.reports.stored import CLIENTS_REPORT, SESSION_REPORT
from sessions.reports.summaries import summaries_of


def session(request: HttpRequest, pk: int) -> HttpResponse:
    """What came of a session."""
    session = session_alone(request, pk)
    of_the_house = request.user.has_perm("studio_sessions.see_contacts")
    context = {"report": session_report(session, for_the_house=of_the_house), "summaries": ()}
    if of_the_house:
        context["summaries"] = summaries_of(session)
    return TemplateResponse(request, "sessions/reports/session.html", context)


def session_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same on paper, with lines to sign; without faults for the client (`?for=client`)."""
    of_the_house = request.user.has_perm("studio_sessions.see_contacts")
    for_the_house = of_the_house and request.GET.get("for") != "client"
    return paper_page(request, SESSION_REPORT if for_the_house else CLIENTS_REPORT, pk)
