"""What the control room has left to do: before the next session, and after the last ones."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Count, Exists, OuterRef, Q, QuerySet

from sessions.bookings.models import RecordingSession, Status
from sessions.deliverables.models import READY, Deliverable, DeliverableFile
from sessions.deliveries.models import DeliveredItem
from sessions.desk.session_pages.moment import Missing, moment_of
from sessions.desk.today.running import DAYS_AHEAD
from sessions.setups.models import Revision, Setup
from sessions.takes.models import Take

DAYS_BACK = 30
LAST_WRAPPED = 4
LAST_NOT_SENT = 6


def what_is_missing(coming_up: Sequence[RecordingSession]) -> list[Missing]:
    """For the first of these sessions; its price is the manager's business. Up to three queries."""
    missing = moment_of(coming_up[0]).missing if coming_up else []
    return [each for each in missing if not each.page.startswith("money:")]


def bare_takes(sessions: QuerySet, now: datetime) -> list[RecordingSession]:
    """Sessions of the last weeks with takes that no chain was logged for, as `bare_count`."""
    bare = Take.objects.without_chain().filter(session=OuterRef("pk"))
    recent = sessions.filter(
        Exists(bare),
        status__in=(Status.CONFIRMED, Status.UNDER_WAY, Status.WRAPPED),
        ends_at__gt=now - timedelta(days=DAYS_BACK),
    )
    found = list(recent.order_by("-starts_at", "-pk"))
    counts = dict(
        Take.objects.without_chain()
        .filter(session__in=[each.pk for each in found])
        .order_by()
        .values_list("session")
        .annotate(Count("pk"))
    )
    for each in found:
        each.bare_count = counts[each.pk]
    return found


@dataclass(frozen=True)
class Copied:
    """Controls of a setup that were copied and are not yet set."""

    setup: Setup
    count: int


def copied_controls(sessions: QuerySet, now: datetime) -> list[Copied]:
    """Of what is set up for sessions that are on or come within the next days, the next first."""
    soon = sessions.filter(
        Q(status=Status.UNDER_WAY) | Q(status__in=(Status.HELD, Status.CONFIRMED), ends_at__gt=now),
        starts_at__lt=now + timedelta(days=DAYS_AHEAD),
    )
    revisions = (
        Revision.objects.newest()
        .with_copied()
        .filter(chain__struck_at=None, chain__setup__struck_at=None, chain__setup__session__in=soon)
        .with_stages()
    )
    counts: dict[Setup, int] = defaultdict(int)
    for each in revisions:
        counts[each.chain.setup] += each.not_yet_set
    found = [Copied(setup, count) for setup, count in counts.items() if count]
    return sorted(found, key=lambda each: (each.setup.session.starts_at, each.setup.position))


def not_sent(user, now: datetime) -> QuerySet:
    """The newest of each kind and song of the last weeks, all its files ready, that went to nobody."""
    newer = Deliverable.objects.filter(
        song=OuterRef("song"), kind=OuterRef("kind"), version__gt=OuterRef("version")
    )
    files = DeliverableFile.objects.filter(deliverable=OuterRef("pk"))
    sent = DeliveredItem.objects.filter(deliverable=OuterRef("pk"))
    made = Deliverable.objects.visible_to(user).filter(
        Exists(files),
        ~Exists(files.exclude(state__in=READY)),
        ~Exists(newer),
        ~Exists(sent),
        created_at__gt=now - timedelta(days=DAYS_BACK),
    )
    return made.for_list().order_by("-created_at", "-pk")[:LAST_NOT_SENT]


def recently_wrapped(sessions: QuerySet) -> QuerySet:
    return sessions.filter(status=Status.WRAPPED).order_by("-ends_at")[:LAST_WRAPPED]
