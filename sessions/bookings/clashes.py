"""Who has a room, a person or a unit already, and what to say about it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from django.core.exceptions import ValidationError
from django.db import connection
from django.db.models import Model

from sessions.bookings.house.models import Block
from sessions.bookings.models import (
    KINDS,
    RecordingSession,
    Reservation,
    by_kind,
    standing_in_words,
)
from sessions.bookings.padding import Period
from sessions.bookings.periods import period_in_words

FIELDS = {"room": "rooms", "person": "people", "unit": "units"}  # kind -> where a form asks for it


@dataclass(frozen=True)
class Clash:
    """A room, person or unit that another session has, or that a block keeps.

    The period is the time that both want, load-in, warm-up and teardown included. Either `session`
    or `block` is None.
    """

    resource: Model
    session: RecordingSession | None
    starts_at: datetime
    ends_at: datetime
    rank: int
    block: Block | None = None

    def __str__(self) -> str:
        """Who, what and when, the time in the studio's zone."""
        if self.block:
            return (
                f"{self.resource} is blocked for “{self.block}” "
                f"({self.block.get_kind_display().lower()}): "
                f"{period_in_words(self.starts_at, self.ends_at)}."
            )
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
    ignoring: RecordingSession | Block | None = None,
) -> list[Clash]:
    """What stands at `rank` for these resources within the half-open period, earliest first.

    One query where nothing clashes, one more where something does, however many resources there are.
    """
    period = starts_at, ends_at
    return find_clashes_within(dict.fromkeys(resources, period), rank=rank, ignoring=ignoring)


def find_clashes_within(
    wanted: Mapping[Model, Period],
    *,
    rank: int = 1,
    ignoring: RecordingSession | Block | None = None,
) -> list[Clash]:
    """As `find_clashes`, with a period of its own for each resource."""
    keys = _keys_in_the_way(wanted, rank)
    if not keys:
        return []
    found = [
        reservation
        for reservation in Reservation.objects.filter(pk__in=keys).with_holders().order_by()
        if ignoring is None or reservation.holder != ignoring
    ]
    asked = {(KINDS[type(resource)], resource.pk): resource for resource in wanted}
    clashes = []
    for reservation in sorted(found, key=lambda each: (each.starts_at, each.pk)):
        [resource] = [
            asked[kind, getattr(reservation, f"{kind}_id")]
            for kind in FIELDS
            if getattr(reservation, f"{kind}_id")
        ]
        clashes.append(_clash(reservation, resource, *wanted[resource]))
    return clashes


def _clash(
    reservation: Reservation, resource: Model, starts_at: datetime, ends_at: datetime
) -> Clash:
    return Clash(
        resource,
        reservation.session,
        max(reservation.starts_at, starts_at),
        min(reservation.ends_at, ends_at),
        reservation.rank,
        reservation.block,
    )


# What begins within the period, and the last that began before it, if it runs into it. Reservations
# of one resource and rank never overlap (the database sees to it), so none but that last one can.
# It keeps the search on a short stretch of the index, however many years of sessions lie before.
# Plain SQL, because putting the same query together through the ORM takes longer than its answer.
STARTING_OR_RUNNING = """
SELECT id FROM {table} WHERE {kind}_id = %s AND rank = %s AND starts_at >= %s AND starts_at < %s
UNION ALL SELECT id FROM (SELECT id, ends_at FROM {table} WHERE {kind}_id = %s AND rank = %s
AND starts_at < %s ORDER BY starts_at DESC LIMIT 1) last WHERE ends_at > %s
"""
AT_ONCE = 200  # SQLite joins at most 500 queries by UNION


def _keys_in_the_way(wanted: Mapping[Model, Period], rank: int) -> list[int]:
    """Of the reservations that stand at `rank` within the periods. One query for every 200."""
    each_with_period = list(wanted.items())
    keys = []
    for first in range(0, len(each_with_period), AT_ONCE):
        few = each_with_period[first : first + AT_ONCE]
        sql = _starting_or_running(tuple([KINDS[type(resource)] for resource, _ in few]))
        with connection.cursor() as cursor:
            cursor.execute(sql, _values(few, rank))
            keys += [key for (key,) in cursor.fetchall()]
    return keys


@lru_cache
def _starting_or_running(kinds: tuple[str, ...]) -> str:
    """The query for so many resources of these kinds."""
    table = Reservation._meta.db_table
    return " UNION ALL ".join(STARTING_OR_RUNNING.format(table=table, kind=kind) for kind in kinds)


def _values(each_with_period: Iterable[tuple[Model, Period]], rank: int) -> list:
    adapt = connection.ops.adapt_datetimefield_value
    values, adapted = [], {}
    for resource, period in each_with_period:
        if period not in adapted:
            adapted[period] = adapt(period[0]), adapt(period[1])
        starts, ends = adapted[period]
        key = resource.pk
        values += (key, rank, starts, ends, key, rank, starts, starts)
    return values
