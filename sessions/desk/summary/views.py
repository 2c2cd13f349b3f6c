from dataclasses import asdict

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from gear.editing.form_pages import form_page
from sessions.bookings.models import RecordingSession
from sessions.bookings.pages import above, session_alone
from sessions.desk.summary.forms import SummaryForm
from sessions.desk.summary.letter import draft, offered, send_summary
from sessions.letters.outbox import warning_of_unsent_letters
from sessions.reports.session_report import session_report


def summary(request: HttpRequest, pk: int) -> HttpResponse:
    """Send the summary of the day by e-mail."""
    session = session_alone(request, pk)
    people = offered(session)
    if request.method == "POST":
        form = SummaryForm(request.POST, offered=people)
        if form.is_valid():
            with warning_of_unsent_letters(request):
                send_summary(
                    session, draft=form.draft(), recipients=form.recipients(), by=request.user
                )
            messages.success(
                request, "Summary saved for sending; the session report shows whether it was sent."
            )
            return redirect("reports:session", pk=session.pk)
    else:
        form = SummaryForm(offered=people, initial=_first_words(session))
    crumbs = [*above(session), ("Session report", reverse("reports:session", args=[session.pk]))]
    title = "Send the day’s summary"
    return form_page(request, form, title=title, crumbs=crumbs, action="Send")


def _first_words(session: RecordingSession) -> dict:
    """The draft, with the client ticked."""
    client = session.project.client.email
    return asdict(draft(session_report(session, for_the_house=True))) | {
        "people": [client] if client else []
    }
