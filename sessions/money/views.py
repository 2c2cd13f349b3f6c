"""The money of one session: what it is charged by, its hours, its price, its papers."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.editing.form_pages import confirm_page, edit_page, form_page
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, WorkedHours
from sessions.bookings.pages import above, session_of
from sessions.bookings.times_forms import HoursForm
from sessions.bookings.worked_hours import take_out_hours, write_hours
from sessions.money.actions import choose_terms, issue_paper
from sessions.money.cancellations.standing import why_void
from sessions.money.drafting import PaperRefused
from sessions.money.invoices.models import Invoice
from sessions.money.invoices.owed import paper_rows
from sessions.money.models import ISSUED_AT_WILL, MoneyPaper, PaperKind
from sessions.money.overtime.words import overtime_on_paper
from sessions.money.quotes import quote_doubt
from sessions.money.session_costs import SessionCosts
from sessions.money.session_forms import ChooseForm, IssueForm
from sessions.money.sign_off.standing import standing_order
from sessions.terms.price_words import (
    lines_in_figures,
    rules_in_words,
    sums_in_figures,
    without_charge,
)
from sessions.terms.prices import Price

ACTUAL = WorkedHours.Kind.ACTUAL


def _above(session: RecordingSession) -> list[tuple[str, str]]:
    return [*above(session), ("Money", reverse("money:session", args=[session.pk]))]


def session_money(request: HttpRequest, pk: int) -> HttpResponse:
    return _money_page(
        request, session_of(request, pk, "rate_card", "cancellation_terms"), IssueForm()
    )


def _money_page(request, session: RecordingSession, issue_form: IssueForm) -> HttpResponse:
    costs = SessionCosts(session)
    context = {
        "session": session,
        "costs": costs,
        "planned": _in_figures(costs.planned_price),
        "actual": _in_figures(costs.actual_price),
        "rules": rules_in_words(costs.card) if costs.card else [],
        "papers": [(row, _why_void(row.paper, costs)) for row in paper_rows(session, costs.papers)],
        "invoices": Invoice.objects.of_session(session),
        "quote_doubt": quote_doubt(costs),
        "plan_hours": session.lockout and not costs.planned_stretches,
        "kinds": [(kind.value, kind.label) for kind in ISSUED_AT_WILL],
        "issue_form": issue_form,
        "overtime": overtime_on_paper(costs),
        "order": standing_order(costs),
        "crumbs": [*above(session), ("Money", "")],
    }
    return TemplateResponse(request, "sessions/money/session.html", context)


def _why_void(paper: MoneyPaper, costs: SessionCosts) -> str:
    """Of a charge for a cancellation that is no longer asked for."""
    if paper.kind != PaperKind.CANCELLATION:
        return ""
    newer = next(each for each in costs.papers if each.kind == paper.kind)
    return why_void(paper, newer if newer != paper else None)


def _in_figures(price: Price | None) -> dict | None:
    """What is without charge is only named: papers have its lines."""
    if price is None:
        return None
    shown = list(zip(lines_in_figures(price), price.lines, strict=True))
    return {
        "lines": [figures for figures, line in shown if line.amount != 0],
        "free": without_charge(figures for figures, line in shown if line.amount == 0),
        "sums": sums_in_figures(price),
        "unpriced": len(price.unpriced),
        "currency": price.currency,
    }


def choose(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose card, terms and discount; where somebody saved meanwhile, show both versions."""
    session = session_of(request, pk, "rate_card", "cancellation_terms")
    form = ChooseForm(request.POST or None, instance=session)
    return edit_page(
        request,
        form,
        save=lambda version: choose_terms(
            session, version=version, **form.cleaned_data, by=request.user
        ),
        title="Rates and terms",
        then="Rates and terms saved.",
        crumbs=_above(session),
    )


def hours_create(request: HttpRequest, pk: int) -> HttpResponse:
    """Hours that were worked; starts from the booked time, which is right more often than not."""
    session = session_of(request, pk, "rate_card", "cancellation_terms")
    booked = {"starts_at": session.starts_at, "ends_at": session.ends_at}
    form = HoursForm(request.POST or None, initial=booked)
    if form.is_bound and form.is_valid():
        try:
            hours = write_hours(session, kind=ACTUAL, **form.cleaned_data, by=request.user)
        except BookingRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{hours} added.")
            return redirect("money:session", session.pk)
    return form_page(request, form, title="Enter worked hours", crumbs=_above(session))


def hours_delete(request: HttpRequest, pk: int) -> HttpResponse:
    sessions = RecordingSession.objects.visible_to(request.user)
    worked = WorkedHours.objects.filter(session__in=sessions).select_related("session")
    hours = get_object_or_404(worked, pk=pk)
    if request.method == "POST":
        take_out_hours(hours, by=request.user)
        messages.success(request, f"{hours} removed.")
        return redirect("money:session", hours.session_id)
    return confirm_page(
        request,
        question=f"Remove the {hours.get_kind_display().lower()} hours of {hours}?",
        text="Work orders already issued stay as they are.",
        action="Remove",
        title="Remove hours",
        crumbs=_above(hours.session),
    )


@require_POST
def issue(request: HttpRequest, pk: int) -> HttpResponse:
    session = session_of(request, pk, "rate_card", "cancellation_terms")
    form = IssueForm(request.POST)
    if form.is_valid():
        try:
            paper = issue_paper(session, **form.cleaned_data, by=request.user)
        except PaperRefused as refusal:
            form.add_error(None, refusal)
        else:
            messages.success(request, f"{paper} issued.")
            return redirect("money:session", session.pk)
    return _money_page(request, session, form)
