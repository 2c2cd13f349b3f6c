from dataclasses import asdict

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from sessions.bookings.models import RecordingSession
from sessions.editing.form_pages import form_page
from sessions.papers.pdf import pdf_response, render_pdf
from sessions.papers.stored.serving import paper_page
from sessions.reports.call_sheet import call_sheet
from sessions.reports.day_summary import NothingSent, draft, offered, send_summary
from sessions.reports.forms import SummaryForm
from sessions.reports.keeping import CLIENTS_REPORT, SESSION_REPORT
from sessions.reports.session_report import session_report


def _session_of(request, pk) -> RecordingSession:
    sessions = RecordingSession.objects.visible_to(request.user)
    return get_object_or_404(sessions.select_related("project__client"), pk=pk)


def session(request: HttpRequest, pk: int) -> HttpResponse:
    """What came of a session."""
    session = _session_of(request, pk)
    of_the_house = request.user.has_perm("studio_sessions.see_contacts")
    context = {"report": session_report(session, for_the_house=of_the_house), "summaries": ()}
    if of_the_house:
        context["summaries"] = session.summaries.select_related("by")
    return TemplateResponse(request, "sessions/reports/session.html", context)


def summary(request: HttpRequest, pk: int) -> HttpResponse:
    """Send the summary of the day by e-mail."""
    session = _session_of(request, pk)
    people = offered(session)
    if request.method == "POST":
        form = SummaryForm(request.POST, offered=people)
        if form.is_valid() and _sent(request, form, session):
            return redirect("reports:session", pk=session.pk)
    else:
        form = SummaryForm(offered=people, initial=_first_words(session))
    crumbs = [
        ("Sessions", reverse("bookings:list")),
        (str(session), session.get_absolute_url()),
        ("Session report", reverse("reports:session", args=[session.pk])),
    ]
    title = "Send the day’s summary"
    return form_page(request, form, title=title, crumbs=crumbs, action="Send")


def _first_words(session: RecordingSession) -> dict:
    """The draft, with the client ticked."""
    client = session.project.client.email
    return asdict(draft(session_report(session, for_the_house=True))) | {
        "people": [client] if client else []
    }


def _sent(request, form: SummaryForm, session: RecordingSession) -> bool:
    try:
        sent, refused = send_summary(
            session, draft=form.draft(), recipients=form.recipients(), by=request.user
        )
    except NothingSent as failed:
        form.add_error(None, str(failed))
        return False
    messages.success(request, f"The summary is sent to {', '.join(sent.recipients)}.")
    if refused:
        messages.warning(
            request,
            f"The mail server did not take the e-mail to {', '.join(refused)}. "
            "Tell them another way, or send it once more to another address.",
        )
    return True


@require_http_methods(["GET", "HEAD", "POST"])
def session_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same on paper, with lines to sign; without faults for the client (`?for=client`)."""
    of_the_house = request.user.has_perm("studio_sessions.see_contacts")
    for_the_house = of_the_house and request.GET.get("for") != "client"
    return paper_page(request, SESSION_REPORT if for_the_house else CLIENTS_REPORT, pk)


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
