"""Overtime on the tablet: until when, what it costs, and the client’s signature."""

from datetime import datetime, timedelta

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse

from gear.asked import whole_number
from sessions.bookings.models import RecordingSession
from sessions.bookings.pages import above, session_of
from sessions.letters.outbox import warning_of_unsent_letters
from sessions.money.overtime.actions import (
    OvertimeRefused,
    approve_overtime,
    check_overtime,
    start_of_overtime,
    void_overtime,
)
from sessions.money.overtime.forms import OvertimeForm, UntilForm, VoidForm, sentences_of
from sessions.money.overtime.in_the_way import in_the_way
from sessions.money.overtime.models import Overtime
from sessions.money.overtime.statements import overtime_statement
from sessions.money.session_costs import SessionCosts
from sessions.periods import moment_in_words, typed

OFFERED = (30, 60, 120, 180)  # minutes


def _above(session: RecordingSession) -> list[tuple[str, str]]:
    return [*above(session), ("Sign-off", reverse("sign_off:session", args=[session.pk]))]


def approve(request: HttpRequest, pk: int) -> HttpResponse:
    """First until when (`?ends_at=`), then what that costs, to be signed; `?replaces=` is void then."""
    session = session_of(request, pk, "rate_card", "cancellation_terms")
    replaces = _replaced(request, session)
    starts_at = start_of_overtime(session, replaces=replaces)
    asked = request.POST or request.GET
    until = UntilForm(asked if "ends_at" in asked else None, initial=_usual(replaces, starts_at))
    form, free = None, None
    if until.is_bound and until.is_valid():
        ends_at = until.cleaned_data["ends_at"]
        try:
            check_overtime(session, starts_at, ends_at)
        except OvertimeRefused as refusal:
            until.add_error(None, refusal)
        else:
            free = in_the_way(session, starts_at, ends_at)
            statement = overtime_statement(SessionCosts(session), starts_at, ends_at)
            form = OvertimeForm(
                request.POST or None,
                statement=statement,
                initial={"ends_at": ends_at},
                auto_id="sign_%s",
            )
            if form.is_bound and form.is_valid():
                try:
                    return _approved(request, session, form, replaces)
                except ValidationError as refusal:
                    form.refuse(refusal)
    context = {
        "session": session,
        "starts_at": starts_at,
        "replaces": replaces,
        "until": until,
        "offered": _offered(starts_at),
        "form": form if free and not free.taken else None,
        "free": free,
        "free_typed": typed(free.free_until) if free and free.free_until > starts_at else "",
        "crumbs": [*_above(session), ("Overtime", "")],
    }
    return TemplateResponse(request, "sessions/money/overtime/approve.html", context)


def _replaced(request: HttpRequest, session: RecordingSession) -> Overtime | None:
    key = whole_number(request.GET.get("replaces"))
    if key is None:
        return None
    return get_object_or_404(session.overtime.standing(), pk=key)


def _usual(replaces: Overtime | None, starts_at: datetime) -> dict[str, datetime]:
    return {"ends_at": replaces.ends_at if replaces else starts_at + timedelta(hours=1)}


def _offered(starts_at: datetime) -> list[tuple[int, str]]:
    """Minutes, and until when that is as the address has it."""
    return [(minutes, typed(starts_at + timedelta(minutes=minutes))) for minutes in OFFERED]


def _approved(request, session, form: OvertimeForm, replaces: Overtime | None) -> HttpResponse:
    """Raises ValidationError for what is refused."""
    with warning_of_unsent_letters(request):
        overtime = approve_overtime(
            session,
            ends_at=form.cleaned_data["ends_at"],
            read=form.statement,
            signature=form.signature,
            replaces=replaces,
            by=request.user,
        )
    until = moment_in_words(overtime.ends_at)
    messages.success(request, f"Overtime until {until} approved by {overtime.signature.name}.")
    return redirect("sign_off:session", session.pk)


def void(request: HttpRequest, pk: int) -> HttpResponse:
    """Void what was approved; the signature stays readable."""
    visible = Overtime.objects.visible_to(request.user).standing()
    overtime = get_object_or_404(visible.select_related("session__project", "signature"), pk=pk)
    form = VoidForm(request.POST or None)
    if form.is_bound and form.is_valid():
        try:
            with warning_of_unsent_letters(request):
                void_overtime(overtime, reason=form.cleaned_data["reason"], by=request.user)
        except ValidationError as refusal:
            form.add_error(None, sentences_of(refusal))
        else:
            messages.success(request, f"Overtime {overtime} is void.")
            return redirect("sign_off:session", overtime.session_id)
    context = {
        "overtime": overtime,
        "form": form,
        "crumbs": [*_above(overtime.session), ("Void overtime", "")],
    }
    return TemplateResponse(request, "sessions/money/overtime/void.html", context)
