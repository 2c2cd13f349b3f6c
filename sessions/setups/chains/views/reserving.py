from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.asked import way_back, whole_number
from gear.editing.versions import EditedMeanwhile
from gear.equipment.models import Unit
from sessions.bookings.actions import reserve_units
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession
from sessions.bookings.telling import TELL_NOBODY, telling


@require_POST
def reserve(request: HttpRequest, pk: int) -> HttpResponse:
    """Reserve units that stand in chains of the session (`units`, their keys between commas)."""
    session = get_object_or_404(RecordingSession.objects.visible_to(request.user), pk=pk)
    keys = [whole_number(key) for key in request.POST.get("units", "").split(",")]
    units = list(
        Unit.objects.filter(
            stages__revision__chain__setup__session=session, pk__in=filter(None, keys)
        )
        .select_related("model")
        .distinct()
    )
    try:
        if units:
            with telling(
                by=request.user, choices=TELL_NOBODY
            ):  # they are told with what comes next
                reserve_units(session, units, by=request.user)
    except BookingRefused as refusal:
        for problem in refusal.messages:
            messages.error(request, problem)
    except EditedMeanwhile:
        messages.warning(request, "Somebody changed the session just now: press again.")
    else:
        named = ", ".join(unit.asset_tag for unit in units)
        messages.success(request, f"Reserved: {named or 'nothing'}.")
    return redirect(way_back(request, reverse("setups:session", args=[pk])))
