"""What goes on in the house now, and what comes next."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db.models import Q, QuerySet

from sessions.bookings.models import FIRST_STATUSES, RecordingSession, Status

DAYS_AHEAD = 7


def on_now(sessions: QuerySet, now: datetime) -> list[RecordingSession]:
    """Those under way, and confirmed ones whose time it is though nobody has started them."""
    due = Q(status=Status.CONFIRMED, starts_at__lte=now, ends_at__gt=now)
    return list(sessions.filter(due | Q(status=Status.UNDER_WAY)))


def coming_up(sessions: QuerySet, now: datetime) -> list[RecordingSession]:
    """Those not over yet that begin within the next days and are not on now."""
    ahead = sessions.filter(
        status__in=FIRST_STATUSES, ends_at__gt=now, starts_at__lt=now + timedelta(days=DAYS_AHEAD)
    )
    return list(ahead.exclude(status=Status.CONFIRMED, starts_at__lte=now))


def theirs_first(sessions: Iterable[RecordingSession], user) -> list[RecordingSession]:
    """Those that reserve the user's own person before the others, both by time; `is_theirs` says
    which. Reads the reservations with their people."""
    sessions = list(sessions)
    for each in sessions:
        each.is_theirs = any(
            taken.person and taken.person.user_id == user.pk for taken in each.reservations.all()
        )
    return sorted(sessions, key=lambda each: not each.is_theirs)
