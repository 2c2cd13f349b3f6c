"""Hours by month: what confirmed sessions reserve of each room, person and unit.

A month is the studio's: it begins at midnight on its clock. Time is elapsed time, so that the nights
of the clock changes have 23 and 25 hours, and what runs over the end of a month counts in both.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import pairwise

from django.db.models import Model
from django.utils import timezone

from gear.equipment.models import Unit
from sessions.bookings.models import Reservation, Status
from sessions.clients.models import Person
from sessions.rooms.models import Room

COUNTED = (Status.CONFIRMED, Status.UNDER_WAY, Status.WRAPPED)
NOTHING = timedelta(0)
Months = tuple[timedelta, ...]  # twelve, from January


@dataclass(frozen=True)
class Use:
    """One room, person or unit through a year."""

    resource: Model
    months: Months

    @property
    def total(self) -> timedelta:
        return sum(self.months, NOTHING)


@dataclass(frozen=True)
class KindOfUse:
    """All rooms, all people or all equipment: `word` says which."""

    kind: str
    word: str
    uses: tuple[Use, ...]

    @property
    def months(self) -> Months:
        return tuple(sum(month, NOTHING) for month in zip(*self._rows, strict=True))

    @property
    def total(self) -> timedelta:
        return sum(self.months, NOTHING)

    @property
    def _rows(self) -> list[Months]:
        return [use.months for use in self.uses] or [(NOTHING,) * 12]


def month_starts(year: int) -> list[datetime]:
    """In UTC, the thirteen instants at which the months of the year begin and the last one ends."""
    zone = timezone.get_default_timezone()
    firsts = [(year, month) for month in range(1, 13)] + [(year + 1, 1)]
    return [datetime(*first, 1, tzinfo=zone).astimezone(UTC) for first in firsts]


def hours_of(length: timedelta) -> Decimal:
    """In hours to two places, half of the last going to the even one."""
    return (Decimal(int(length.total_seconds())) / 3600).quantize(Decimal("0.01"))


def use_of_year(year: int) -> list[KindOfUse]:
    """Rooms, people and equipment: every room in service, and whatever else was used.

    Counts what stands in first place for sessions that are confirmed, under way or wrapped, with
    the time before and after; holds and blocks are not use. In a constant number of queries.
    """
    starts = month_starts(year)
    used = _used(starts)
    rooms, people, units = (
        Room.objects.current_or(*used["room"]),
        Person.objects.filter(pk__in=used["person"]),
        Unit.objects.filter(pk__in=used["unit"]).for_list(),
    )
    return [
        _kind("room", "Rooms", rooms, used),
        _kind("person", "People", people, used),
        _kind("unit", "Gear", units, used),
    ]


def _kind(kind: str, word: str, resources: Iterable[Model], used) -> KindOfUse:
    unused = (NOTHING,) * 12
    uses = (Use(each, tuple(used[kind].get(each.pk, unused))) for each in resources)
    return KindOfUse(kind, word, tuple(uses))


def _used(starts: list[datetime]) -> dict[str, dict[int, list[timedelta]]]:
    """For each kind, by primary key, the time in each month. One query."""
    rows = (
        Reservation.objects.filter(rank=1, session__status__in=COUNTED)
        .overlapping(starts[0], starts[-1])
        .values_list("room_id", "person_id", "unit_id", "starts_at", "ends_at")
    )
    used = {kind: defaultdict(lambda: [NOTHING] * 12) for kind in ("room", "person", "unit")}
    for *keys, starts_at, ends_at in rows:
        for kind, key in zip(used, keys, strict=True):
            if key:
                shares = _by_month(starts_at, ends_at, starts)
                used[kind][key] = [
                    sum(pair, NOTHING) for pair in zip(used[kind][key], shares, strict=True)
                ]
    return used


def _by_month(starts_at: datetime, ends_at: datetime, starts: list[datetime]) -> list[timedelta]:
    return [
        max(min(ends_at, end) - max(starts_at, start), NOTHING) for start, end in pairwise(starts)
    ]
