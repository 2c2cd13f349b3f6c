"""Today: what is going on in the house, or, for a mix engineer, what can be mixed."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone

from sessions.bookings.models import FIRST_STATUSES, RecordingSession, Status
from sessions.bookings.stand_ins.needs import open_needs
from sessions.deliverables.listening.models import Verdict
from sessions.deliverables.models import Deliverable, DeliverableKind
from sessions.deliveries.models import Delivery, DeliveryEvent, EventKind
from sessions.letters.models import Letter
from sessions.songs.models import Song
from sessions.takes.models import Take

DAYS_AHEAD = 7
LAST_WRAPPED = 5
LAST_ROUGH_MIXES = 6
DAYS_OF_ANSWERS = 7
LAST_ANSWERS = 6
ANSWERS = (EventKind.RECEIVED, EventKind.NOTED)  # verdicts stand by themselves
LAST_VERDICTS = 5


def today(request: HttpRequest) -> HttpResponse:
    sessions = RecordingSession.objects.visible_to(request.user).for_list()
    context = {
        "needs": needs_of(request.user),
        "under_way": sessions.filter(status=Status.UNDER_WAY),
        "coming_up": coming_up(sessions),
        "wrapped": sessions.filter(status=Status.WRAPPED).order_by("-ends_at")[:LAST_WRAPPED],
        "rough_mixes": rough_mixes(request.user),
        "verdicts": last_verdicts(request.user),
        "to_mix": songs_to_mix(request.user),
        "answers": answers(request.user),
        "not_told": not_told(request.user),
        "days_ahead": DAYS_AHEAD,
    }
    return TemplateResponse(request, "sessions/desk/today.html", context)


def needs_of(user):
    """What sessions to come cannot have, for those who find a stand-in."""
    if not user.has_perm("studio_sessions.view_all_projects"):
        return []
    return list(open_needs())


def coming_up(sessions):
    """Of these sessions, those not over yet that begin within the next days."""
    now = timezone.now()
    return sessions.filter(
        status__in=FIRST_STATUSES, ends_at__gt=now, starts_at__lt=now + timedelta(days=DAYS_AHEAD)
    )


def rough_mixes(user):
    """The newest rough mixes, each with its song."""
    mixes = Deliverable.objects.visible_to(user).filter(kind=DeliverableKind.ROUGH_MIX)
    return mixes.for_list().order_by("-created_at")[:LAST_ROUGH_MIXES]


def last_verdicts(user):
    """The newest verdicts on mixes, each with its song."""
    verdicts = Verdict.objects.visible_to(user).that_count()
    return verdicts.select_related("deliverable__song__project")[:LAST_VERDICTS]


def answers(user):
    """What recipients said of deliveries in the last days, the newest first."""
    since = timezone.now() - timedelta(days=DAYS_OF_ANSWERS)
    events = DeliveryEvent.objects.filter(
        kind__in=ANSWERS, at__gt=since, recipient__delivery__in=Delivery.objects.visible_to(user)
    )
    events = events.select_related("recipient__delivery__song__project")
    events = events.prefetch_related("recipient__delivery__deliverables")
    return events.order_by("-at", "-pk")[:LAST_ANSWERS]


def not_told(user):
    """The letters of which nothing came, the newest first."""
    return Letter.objects.visible_to(user).not_told(timezone.now()).for_list()


def songs_to_mix(user):
    """Songs with chosen takes in the projects that name the user as mix engineer."""
    chosen = Take.objects.chosen().values("song")
    songs = Song.objects.filter(project__mix_engineers__user=user, pk__in=chosen)
    return songs.select_related("project").order_by("project__name", "title")
