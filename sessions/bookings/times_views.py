"""The minutes around a session, and the hours planned within a lockout."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from sessions.bookings.actions import set_padding
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.bookings.notices import saying_who_was_not_told
from sessions.bookings.times_forms import PaddingForm, PlannedHoursForm
from sessions.bookings.worked_hours import take_out_hours, write_hours
from sessions.editing import EditedMeanwhile

PLANNED = WorkedHours.Kind.PLANNED


def _session_of(request: HttpRequest, pk: int) -> RecordingSession:
    return get_object_or_404(RecordingSession.objects.visible_to(request.user).for_list(), pk=pk)


def _crumbs(session: RecordingSession, page: str) -> list[tuple[str, str]]:
    above = [("Sessions", reverse("bookings:list")), (str(session), session.get_absolute_url())]
    return [*above, (page, "")]


def padding(request: HttpRequest, pk: int) -> HttpResponse:
    """Load-in, warm-up and teardown of everything that the session takes."""
    session = _session_of(request, pk)
    seen = request.POST.get("seen", str(session.version))
    form = PaddingForm(
        request.POST or None,
        reservations=session.reservations.all(),
        may_queue=session.status == Status.HELD,
    )
    context, status = {}, 200
    if form.is_bound and form.is_valid():
        version = int(seen) if seen.isdecimal() else 0
        try:
            with saying_who_was_not_told(request):
                set_padding(session, version=version, **form.cleaned_data, by=request.user)
        except EditedMeanwhile as edited:
            context = {
                "differences": form.differences(edited.current),
                "came_first": edited.current.history.first(),
            }
            seen, status = str(edited.current.version), 409
        except BookingRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"The time around {session} is saved.")
            return redirect(session)
    context |= {
        "session": session,
        "form": form,
        "seen": seen,
        "title": "Before and after",
        "crumbs": _crumbs(session, "Before and after"),
    }
    return TemplateResponse(request, "sessions/bookings/padding.html", context, status=status)


def planned_hours(request: HttpRequest, pk: int) -> HttpResponse:
    """The hours that are to be worked within a lockout: what is planned, and one more."""
    session = _session_of(request, pk)
    form = PlannedHoursForm(request.POST or None)
    if form.is_bound and form.is_valid():
        try:
            hours = write_hours(session, kind=PLANNED, **form.cleaned_data, by=request.user)
        except BookingRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{hours} is planned.")
            return redirect("bookings:hours", session.pk)
    context = {
        "session": session,
        "form": form,
        "planned": session.worked_hours.filter(kind=PLANNED),
        "crumbs": _crumbs(session, "Planned hours"),
    }
    return TemplateResponse(request, "sessions/bookings/planned_hours.html", context)


@require_POST
def planned_hours_delete(request: HttpRequest, pk: int) -> HttpResponse:
    sessions = RecordingSession.objects.visible_to(request.user)
    hours = get_object_or_404(WorkedHours, pk=pk, kind=PLANNED, session__in=sessions)
    take_out_hours(hours, by=request.user)
    messages.success(request, f"{hours} is no longer planned.")
    return redirect("bookings:hours", hours.session_id)
