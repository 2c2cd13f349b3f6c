"""What others said, and what they were not told."""

from datetime import datetime, timedelta

from sessions.deliverables.listening.models import Verdict
from sessions.deliverables.models import Deliverable, DeliverableKind
from sessions.deliveries.models import Delivery, DeliveryEvent, EventKind
from sessions.letters.models import Letter

LAST_ROUGH_MIXES = 4
DAYS_OF_ANSWERS = 7
LAST_ANSWERS = 6
ANSWERS = (EventKind.RECEIVED, EventKind.NOTED)  # verdicts stand by themselves
LAST_VERDICTS = 5


def last_rough_mixes(user):
    """The newest rough mixes, each with its song."""
    mixes = Deliverable.objects.visible_to(user).filter(kind=DeliverableKind.ROUGH_MIX)
    return mixes.for_list().order_by("-created_at")[:LAST_ROUGH_MIXES]


def last_verdicts(user):
    """The newest verdicts on mixes, each with its song."""
    verdicts = Verdict.objects.visible_to(user).that_count()
    return verdicts.select_related("deliverable__song__project")[:LAST_VERDICTS]


def last_answers(user, now: datetime):
    """What recipients said of deliveries in the last days, the newest first."""
    since = now - timedelta(days=DAYS_OF_ANSWERS)
    events = DeliveryEvent.objects.filter(
        kind__in=ANSWERS, at__gt=since, recipient__delivery__in=Delivery.objects.visible_to(user)
    )
    events = events.select_related("recipient__delivery__song__project")
    events = events.prefetch_related("recipient__delivery__deliverables")
    return events.order_by("-at", "-pk")[:LAST_ANSWERS]


def not_told(user, now: datetime):
    """The letters of which nothing came, the newest first."""
    return Letter.objects.visible_to(user).not_told(now).for_list()
