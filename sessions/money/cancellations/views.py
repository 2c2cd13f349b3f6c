"""What cancelling a session costs, or cost; and another charge, as agreed with the client."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone

from gear.editing.form_pages import form_page
from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.pages import above, session_of
from sessions.money.cancellations.actions import agree_charge
from sessions.money.cancellations.drafting import taxed_as
from sessions.money.cancellations.forms import ChargeForm
from sessions.money.cancellations.standing import standing_charge
from sessions.money.drafting import PaperRefused
from sessions.money.session_costs import SessionCosts
from sessions.terms.cancellation_words import terms_in_words
from sessions.terms.currencies import figures


def cancellation(request: HttpRequest, pk: int) -> HttpResponse:
    """What cancelling the session now would cost, and until when it costs what; of one that is
    cancelled, what that cost when it was."""
    session = session_of(request, pk, "rate_card", "cancellation_terms")
    costs, is_cancelled = SessionCosts(session), session.status == Status.CANCELLED
    moment = session.status_since if is_cancelled else timezone.now()
    issued = standing_charge(costs) if is_cancelled else None
    charge = costs.cancellation(moment)
    context = {
        "session": session,
        "charge": charge,
        "spans": costs.cancellation_spans(),
        "rules": terms_in_words(costs.terms) if costs.terms else [],
        "fee": _known(costs.booked.fee, costs.booked.currency),
        "deposit": _known(costs.booked.deposit, costs.booked.currency),
        "moment": moment,
        "issued": issued,
        "total": _known(issued.total, issued.currency) if issued else "",
        "crumbs": [*_above(session), ("Cancellation", "")],
    }
    return TemplateResponse(request, "sessions/money/cancellation.html", context)


def agree(request: HttpRequest, pk: int) -> HttpResponse:
    """Another charge than the terms give, or the one that they do not give."""
    session = session_of(request, pk, "rate_card", "cancellation_terms")
    page = reverse("money:cancellation", args=[session.pk])
    if session.status != Status.CANCELLED:
        return redirect(page)
    costs = SessionCosts(session)
    form = ChargeForm(request.POST or None, currency=taxed_as(costs).currency)
    if form.is_bound and form.is_valid():
        try:
            paper = agree_charge(session, **form.cleaned_data, by=request.user)
        except PaperRefused as refusal:
            form.refuse(refusal)
        else:
            total = figures(paper.total, paper.currency)
            messages.success(request, f"{paper} issued: {total} {paper.currency}, tax included.")
            return redirect(page)
    crumbs = [*_above(session), ("Cancellation", page)]
    return form_page(request, form, title="Charge as agreed", action="Issue", crumbs=crumbs)


def _above(session: RecordingSession) -> list[tuple[str, str]]:
    return [*above(session), ("Money", reverse("money:session", args=[session.pk]))]


def _known(amount, currency: str) -> str:
    return (
        "not known: choose a rate card"
        if amount is None
        else f"{figures(amount, currency)} {currency}"
    )
