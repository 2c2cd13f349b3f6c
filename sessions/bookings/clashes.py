"""Who has a room, a person or a unit already, and what to say about it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db.models import Model, OuterRef, QuerySet, Subquery

from sessions.bookings.models import RecordingSession, Reservation, by_kind, standing_in_words
from sessions.bookings.periods import period_in_words

FIELDS = {"room": "rooms", "person": "people", "unit": "units"}  # kind -> where a form asks for it


@dataclass(frozen=True)
class Clash:
    """A room, person or unit that another session has; the period is the time that both want."""

    resource: Model
    session: RecordingSession
    starts_at: datetime
    ends_at: datetime
    rank: int

    def __str__(self) -> str:
        """Who, what and when, the time in the studio's zone."""
        project = self.session.project
        return (
            f"{self.resource} is taken by “{self.session}” ({project}, {project.client}), "
            f"{standing_in_words(self.session.status, self.rank)}: "
            f"{period_in_words(self.starts_at, self.ends_at)}."
        )


class BookingRefused(ValidationError):
    """A booking that cannot be; each message stands under the field of the form that it is about."""


class ClashError(BookingRefused):
    """Something is taken. `clashes` says what, by whom and when."""

    def __init__(self, clashes: list[Clash]):
        self.clashes = clashes
        taken = by_kind({clash.resource for clash in clashes})
        super().__init__(
            {
                FIELDS[kind]: [str(clash) for clash in clashes if clash.resource in resources]
                for kind, resources in taken.items()
                if resources
            }
        )


def find_clashes(
    resources: Iterable[Model],
    starts_at: datetime,
    ends_at: datetime,
    *,
    rank: int = 1,
    ignoring: RecordingSession | None = None,
) -> list[Clash]:
    """What stands at `rank` for these resources within the half-open period, earliest first.

    One query where nothing clashes, one more where something does, however many resources there are.
    """
    in_the_way = [
        _starting_within_or_running(kind, of_kind, starts_at, ends_at, rank)
        for kind, of_kind in by_kind(resources).items()
        if of_kind
    ]
    branches = [branch for pair in in_the_way for branch in pair]
    if not branches:
        return []
    keys = [key for (key,) in branches[0].union(*branches[1:], all=True)]
    if not keys:
        return []
    found = Reservation.objects.filter(pk__in=keys).for_list().with_sessions()
    if ignoring is not None:
        found = found.exclude(session=ignoring)
    return [
        Clash(
            reservation.resource,
            reservation.session,
            max(reservation.starts_at, starts_at),
            min(reservation.ends_at, ends_at),
            rank,
        )
        for reservation in found.order_by("starts_at", "pk")
    ]


def _starting_within_or_running(
    kind: str, resources: list[Model], starts_at: datetime, ends_at: datetime, rank: int
) -> tuple[QuerySet, QuerySet]:
    """Keys of the reservations that begin within the period, and of those that run into it.

    Reservations of one resource and rank never overlap (the database sees to it), so only the last
    one that began before the period can reach into it. That keeps the search on a short stretch
    of the index, however many years of sessions lie before.
    """
    line = Reservation.objects.filter(rank=rank)
    starting = line.filter(
        **{f"{kind}__in": resources}, starts_at__gte=starts_at, starts_at__lt=ends_at
    )
    last_before = line.filter(**{kind: OuterRef("pk")}, starts_at__lt=starts_at).order_by(
        "-starts_at"
    )
    begun = (
        type(resources[0])
        .objects.filter(pk__in=[resource.pk for resource in resources])
        .values_list(Subquery(last_before.values("pk")[:1]))
    )
    running = Reservation.objects.filter(pk__in=begun, ends_at__gt=starts_at)
    return starting.values_list("pk"), running.values_list("pk")
