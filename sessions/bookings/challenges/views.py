from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from sessions.bookings.challenges.actions import challenge_hold, lapse_due, withdraw_challenge
from sessions.bookings.challenges.forms import ChallengeForm
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.holds.answers import holds_before
from sessions.bookings.models import Challenge, RecordingSession
from sessions.bookings.pages import above, session_of
from sessions.bookings.telling.asking import asking, asks_who_is_told
from sessions.periods import moment_in_words
from sessions.rooms.models import HouseRules


@asks_who_is_told
def challenge(request: HttpRequest, pk: int) -> HttpResponse:
    """The session of the address challenges a hold before it; `?hold=` chooses that beforehand."""
    visible = RecordingSession.objects.visible_to(request.user)
    session = session_of(request, pk)
    holds = holds_before(session, among=visible)
    chosen = {"hold": request.GET.get("hold") or (holds[0].pk if holds else None)}
    form = ChallengeForm(request.POST or None, holds=holds, initial=chosen)
    if request.method == "POST" and form.is_valid():
        hold = form.cleaned_data["hold"]
        lapse_due(timezone.now())
        try:
            with asking(request):
                made = challenge_hold(hold, challenger=session, by=request.user)
        except BookingRefused as refusal:
            form.add_error(None, refusal)
        else:
            until = moment_in_words(made.deadline)
            messages.success(request, f"{hold} has to be confirmed or released by {until}.")
            return redirect(session)
    context = {
        "session": session,
        "holds": holds,
        "form": form,
        "hours": HouseRules.current().challenge_hours,
        "crumbs": [
            *above(session),
            ("Challenge a hold", ""),
        ],
    }
    return TemplateResponse(request, "sessions/bookings/challenges/challenge.html", context)


@require_POST
@asks_who_is_told
def withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    visible = RecordingSession.objects.visible_to(request.user)
    found = get_object_or_404(Challenge.objects.among(visible).for_list(), pk=pk)
    try:
        with asking(request):
            withdraw_challenge(found, by=request.user)
    except BookingRefused as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        messages.success(request, f"Challenge to {found.hold} withdrawn.")
    return redirect(found.challenger)
