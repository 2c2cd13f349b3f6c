from functools import partial

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from gear.asked import way_back
from sessions.bookings.actions import (
    STEPS,
    check_not_over,
    give_credit,
    may_step,
    remove_credit,
    set_status,
)
from sessions.bookings.challenges.actions import lapse_due
from sessions.bookings.clashes import BookingRefused, ClashError
from sessions.bookings.holds.line import line_of
from sessions.bookings.models import (
    TAKES_NOTHING,
    Block,
    Credit,
    RecordingSession,
    Status,
    WorkedHours,
)
from sessions.bookings.pages import above, session_of
from sessions.bookings.starting import doubts_about_starting
from sessions.bookings.telling.asking import asking, asks_who_is_told
from sessions.bookings.worked_hours import outside_hours_of
from sessions.deliverables.media.checks import doubts_about_wrapping
from sessions.desk.session_pages.forms import CreditForm
from sessions.desk.session_pages.in_series import place_in_series, verb_for_rest
from sessions.desk.session_pages.moment import moment_of
from sessions.desk.session_pages.standing import standing_of
from sessions.letters.models import Letter
from sessions.money.at_a_glance import MoneyAtAGlance
from sessions.money.cancellations.actions import cancel_session
from sessions.money.cancellations.taking_back import taken_back_with
from sessions.money.session_costs import cancellation_now


def session_detail(request: HttpRequest, pk: int) -> HttpResponse:
    session = session_of(request, pk, "rate_card", "cancellation_terms")
    return _detail_page(request, session, CreditForm())


def _detail_page(request, session: RecordingSession, credit_form: CreditForm) -> HttpResponse:
    """A session with its reservations; of the lines, only sessions that the user may see."""
    visible = RecordingSession.objects.visible_to(request.user)
    letters = Letter.objects.about_thing(session).for_panel(request.user)
    lines = line_of(session, among=visible, blocks=Block.objects.visible_to(request.user))
    money = MoneyAtAGlance(session)
    hours = money.costs.worked_hours
    context = {
        "session": session,
        "moment": moment_of(session),
        "money": money,
        "steps": _steps(session, request.user),
        "series": place_in_series(session, among=visible),
        "outside_hours": outside_hours_of(session),
        "planned_hours": [each for each in hours if each.kind == WorkedHours.Kind.PLANNED],
        "standing": standing_of(session, lines, among=visible),
        "status_steps": session.status_steps.select_related("by"),
        "credits": session.credits.for_list(),
        "credit_form": credit_form,
        "letters": letters,
        "not_told": lambda: [
            each for each in letters if each.is_not_told
        ],  # where letters are shown
        "crumbs": [*above(), (str(session), "")],
    }
    return TemplateResponse(request, "sessions/desk/session_pages/session_detail.html", context)


def _steps(session: RecordingSession, user) -> list[dict]:
    """The steps the user may take, the likely one first; one that gives up its time is asked about."""
    return [
        {"to": to, "verb": verb, "asks": to in TAKES_NOTHING and session.status != Status.CANCELLED}
        for to, verb in STEPS[session.status].items()
        if may_step(user, session, to)
    ]


@asks_who_is_told
def session_status(request: HttpRequest, pk: int) -> HttpResponse:
    """Take one step. A step that gives time up is asked about first: its button leads to GET,
    which any step may be asked about by. A start or a wrap that is doubtful is asked about when it is
    pressed."""
    session = session_of(request, pk)
    to = request.POST.get("to", request.GET.get("to", ""))
    if to in STEPS[session.status] and not may_step(request.user, session, to):
        raise PermissionDenied
    queue_behind = "queue_behind" in request.POST
    refusal, doubts = None, []
    if to == Status.UNDER_WAY and "is_sure" not in request.POST:
        doubts = doubts_about_starting(session, timezone.now())
    elif to == Status.WRAPPED and "is_sure" not in request.POST:
        doubts = doubts_about_wrapping(session)
    back = way_back(request, session.get_absolute_url())
    if request.method == "POST" and not doubts:
        try:
            lapse_due(timezone.now())
            if session.status == Status.ENQUIRY:
                check_not_over(to, session.ends_at)
            with asking(request):
                _take_step(session, to, queue_behind=queue_behind, by=request.user)
        except BookingRefused as error:
            refusal = error
            session = session_of(request, pk)
        else:
            now = session_of(request, pk, "rate_card", "cancellation_terms")
            charge = MoneyAtAGlance(now).price if to == Status.CANCELLED else ""
            said = f"{session} is now {now.standing}."
            messages.success(request, f"{said} {charge}." if charge else said)
            return redirect(back)
    elif to not in STEPS[session.status]:
        return redirect(session)
    verb = STEPS[session.status].get(to, "Change status")
    context = {
        "session": session,
        "to": to,
        "verb": verb,
        "doubts": doubts,
        "back": back,
        "gives_up": to in TAKES_NOTHING and session.takes_time,
        "refusals": refusal.messages if refusal else [],
        "clashes": isinstance(refusal, ClashError),
        "verb_of_series": verb_for_rest(session, to),
        "can_queue": isinstance(refusal, ClashError) and to == Status.HELD,
        # asked only where it may be shown
        "charge_now": partial(cancellation_now, session),
        "taken_back": partial(taken_back_with, session) if to == Status.ENQUIRY else None,
        "crumbs": [*above(session), (verb, "")],
    }
    return TemplateResponse(request, "sessions/desk/session_pages/session_status.html", context)


def _take_step(session: RecordingSession, to: str, *, queue_behind: bool, by) -> None:
    """Cancelling it has its charge with it."""
    if to == Status.CANCELLED:
        cancel_session(session, by=by)
    else:
        set_status(session, to=to, queue_behind=queue_behind, by=by)


@require_POST
@asks_who_is_told
def credit_create(request: HttpRequest, pk: int) -> HttpResponse:
    session = session_of(request, pk)
    form = CreditForm(request.POST)
    if form.is_valid():
        try:
            with asking(request):
                credit = give_credit(session, **form.cleaned_data, by=request.user)
        except BookingRefused as refusal:
            form.add_error(None, refusal)
        else:
            messages.success(request, f"Credit added: {credit}.")
            return redirect(session)
    return _detail_page(request, session, form)


@require_POST
@asks_who_is_told
def credit_delete(request: HttpRequest, pk: int) -> HttpResponse:
    sessions = RecordingSession.objects.visible_to(request.user)
    credits = Credit.objects.filter(session__in=sessions).select_related("person", "session")
    credit = get_object_or_404(credits, pk=pk)
    with asking(request):
        remove_credit(credit, by=request.user)
    messages.success(request, f"Credit removed: {credit}.")
    return redirect(credit.session)
