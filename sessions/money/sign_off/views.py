"""The sign-off of a session, for whoever works at it: overtime, hours, work order, signatures.

The one page of money that is not the managers’ alone: who holds out the tablet sees what is signed
on it, and nothing else of what the client pays.
"""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.editing.form_pages import form_page
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.bookings.pages import above, session_of
from sessions.bookings.times_forms import HoursForm
from sessions.bookings.worked_hours import write_hours
from sessions.letters.outbox import warning_of_unsent_letters
from sessions.money.actions import issue_paper
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.overtime.price import agreed_until, worked_without_approval
from sessions.money.session_costs import SessionCosts
from sessions.money.sign_off.actions import check_signable, sign_work_order
from sessions.money.sign_off.copies import send_copy
from sessions.money.sign_off.standing import standing_order, with_doubts
from sessions.money.sign_off.statements import order_statement
from sessions.periods import duration_in_words
from sessions.signing.forms import SignatureForm
from sessions.terms.currencies import figures


def _above(session: RecordingSession) -> list[tuple[str, str]]:
    return [*above(session), ("Sign-off", reverse("sign_off:session", args=[session.pk]))]


def session_sign_off(request: HttpRequest, pk: int) -> HttpResponse:
    session = session_of(request, pk, "rate_card", "cancellation_terms")
    costs = SessionCosts(session)
    without = worked_without_approval(costs)
    order = standing_order(costs)
    context = {
        "session": session,
        "costs": costs,
        "agreed_until": agreed_until(session, costs.overtime),
        "overtime": with_doubts(costs),
        "without": duration_in_words(without) if without else "",
        "order": order,
        "order_total": order and figures(order.paper.total, order.paper.currency),
        "is_wrapped": session.status == Status.WRAPPED,
        "has_copy": any(not each.is_void for each in costs.overtime)
        or bool(order and order.signed and not order.why_void),
        "crumbs": [*above(session), ("Sign-off", "")],
    }
    return TemplateResponse(request, "sessions/money/sign_off/session.html", context)


def hours_create(request: HttpRequest, pk: int) -> HttpResponse:
    """Hours that were worked; starts from the booked time."""
    session = session_of(request, pk)
    booked = {"starts_at": session.starts_at, "ends_at": session.ends_at}
    form = HoursForm(request.POST or None, initial=booked)
    if form.is_bound and form.is_valid():
        kind = WorkedHours.Kind.ACTUAL
        try:
            hours = write_hours(session, kind=kind, **form.cleaned_data, by=request.user)
        except BookingRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{hours} added.")
            return redirect("sign_off:session", session.pk)
    return form_page(request, form, title="Enter worked hours", crumbs=_above(session))


@require_POST
def issue(request: HttpRequest, pk: int) -> HttpResponse:
    """The work order of the hours worked, to be signed on the next page."""
    session = session_of(request, pk)
    try:
        paper = issue_paper(session, kind=PaperKind.WORK_ORDER, by=request.user)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("sign_off:session", session.pk)
    messages.success(request, f"{paper} issued.")
    return redirect("sign_off:sign", paper.pk)


def sign(request: HttpRequest, pk: int) -> HttpResponse:
    """The client reads the work order and signs it."""
    orders = MoneyPaper.objects.visible_to(request.user).filter(kind=PaperKind.WORK_ORDER)
    paper = get_object_or_404(orders.select_related("session__project__client"), pk=pk)
    session = paper.session
    try:
        check_signable(paper)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("sign_off:session", session.pk)
    form = SignatureForm(request.POST or None, statement=order_statement(paper))
    if form.is_bound and form.is_valid():
        try:
            signed = sign_work_order(
                paper, read=form.statement, signature=form.signature, by=request.user
            )
        except ValidationError as refusal:
            form.add_error(None, refusal)
        else:
            messages.success(request, f"{paper} signed by {signed.signature.name}.")
            return redirect("sign_off:session", session.pk)
    context = {
        "paper": paper,
        "session": session,
        "form": form,
        "crumbs": [*_above(session), (f"Sign {paper}", "")],
    }
    return TemplateResponse(request, "sessions/money/sign_off/sign.html", context)


@require_POST
def send(request: HttpRequest, pk: int) -> HttpResponse:
    """What was signed, to the client by e-mail."""
    session = session_of(request, pk)
    try:
        with warning_of_unsent_letters(request):
            [letter] = send_copy(session, by=request.user)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        messages.success(request, f"A copy goes to {letter.to}.")
    return redirect("sign_off:session", session.pk)
