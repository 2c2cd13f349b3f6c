"""Holds that somebody has to settle: challenged ones by their deadline, and those whose day is near."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Prefetch, QuerySet

from sessions.bookings.models import Challenge, RecordingSession, Reservation, Status
from sessions.periods import time_left

NEAR = timedelta(days=3)  # our own choice: time enough to find somebody else for the time
SOON = timedelta(hours=6)  # a follow-up is written by then, as a house usually sets it


@dataclass(frozen=True)
class Settling:
    """A hold by when it is given up or begins, and how long that is."""

    hold: RecordingSession
    by: datetime
    left: str
    is_soon: bool
    challenge: Challenge | None = None


def open_challenges(sessions: QuerySet, now: datetime) -> list[Settling]:
    """The nearest deadline first. What lapsed by the clock stands there until that is written down."""
    reservations = Reservation.objects.for_list()
    challenges = (
        Challenge.objects.open()
        .among(sessions)
        .for_list()
        .prefetch_related(
            Prefetch("hold__reservations", reservations),
            Prefetch("challenger__reservations", reservations),
        )
        .order_by("deadline", "pk")
    )
    return [
        Settling(each.hold, each.deadline, *_left(each.deadline, now), challenge=each)
        for each in challenges
    ]


def holds_near(sessions: QuerySet, now: datetime, challenged: Iterable[Settling]) -> list[Settling]:
    """Holds that begin within three days and that nobody has challenged, the next first."""
    held = sessions.filter(status=Status.HELD, ends_at__gt=now, starts_at__lt=now + NEAR)
    held = held.exclude(pk__in=[each.hold.pk for each in challenged])
    return [Settling(each, each.starts_at, *_left(each.starts_at, now)) for each in held]


def _left(by: datetime, now: datetime) -> tuple[str, bool]:
    return time_left(by, now), by - now < SOON
