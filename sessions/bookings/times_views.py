"""The minutes around a session, and the hours planned within a lockout."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.editing.form_pages import edit_page
from gear.editing.versions import differences
from sessions.bookings.actions import set_padding
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.bookings.pages import above, session_of
from sessions.bookings.telling.asking import asking, asks_who_is_told
from sessions.bookings.times_forms import HoursForm, PaddingForm
from sessions.bookings.worked_hours import change_hours, take_out_hours, write_hours

PLANNED = WorkedHours.Kind.PLANNED


@asks_who_is_told
def padding(request: HttpRequest, pk: int) -> HttpResponse:
    """Load-in, warm-up and teardown of everything that the session takes."""
    session = session_of(request, pk)
    form = PaddingForm(
        request.POST or None,
        reservations=session.reservations.all(),
        may_queue=session.status == Status.HELD,
    )

    def save(version: int) -> RecordingSession:
        with asking(request):
            return set_padding(session, version=version, **form.cleaned_data, by=request.user)

    return edit_page(
        request,
        form,
        thing=session,
        save=save,
        compare=form.differences,
        title="Before and after",
        then=f"Times before and after {session} saved.",
        crumbs=above(session),
        template="sessions/bookings/padding.html",
        session=session,
    )


@asks_who_is_told
def planned_hours(request: HttpRequest, pk: int) -> HttpResponse:
    """The hours that are to be worked within a lockout: what is planned, and one more."""
    session = session_of(request, pk)
    form = HoursForm(request.POST or None)
    if form.is_bound and form.is_valid():
        try:
            with asking(request):
                hours = write_hours(session, kind=PLANNED, **form.cleaned_data, by=request.user)
        except BookingRefused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, f"{hours} planned.")
            return redirect("bookings:hours", session.pk)
    context = {
        "session": session,
        "form": form,
        "planned": session.worked_hours.filter(kind=PLANNED),
        "crumbs": [*above(session), ("Planned hours", "")],
    }
    return TemplateResponse(request, "sessions/bookings/planned_hours.html", context)


@asks_who_is_told
def hours_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Put hours right, planned or worked; where somebody saved meanwhile, show both versions."""
    sessions = RecordingSession.objects.visible_to(request.user)
    hours = get_object_or_404(
        WorkedHours.objects.select_related("session"), pk=pk, session__in=sessions
    )
    form = HoursForm.filled_with(hours, request.POST or None)

    def save(version: int) -> WorkedHours:
        with asking(request):
            return change_hours(hours, version=version, **form.cleaned_data, by=request.user)

    return edit_page(
        request,
        form,
        thing=hours,
        save=save,
        compare=lambda current: differences(form, HoursForm.filled_with(current)),
        title=f"Change {hours.get_kind_display().lower()} hours",
        crumbs=[*above(hours.session), _page_of(hours)],
    )


def _page_of(hours: WorkedHours) -> tuple[str, str]:
    """Where such hours stand, name and address."""
    if hours.kind == PLANNED:
        return "Planned hours", reverse("bookings:hours", args=[hours.session_id])
    return "Money", reverse("money:session", args=[hours.session_id])


@require_POST
@asks_who_is_told
def planned_hours_delete(request: HttpRequest, pk: int) -> HttpResponse:
    sessions = RecordingSession.objects.visible_to(request.user)
    hours = get_object_or_404(WorkedHours, pk=pk, kind=PLANNED, session__in=sessions)
    with asking(request):
        take_out_hours(hours, by=request.user)
    messages.success(request, f"Planned hours removed: {hours}.")
    return redirect("bookings:hours", hours.session_id)
