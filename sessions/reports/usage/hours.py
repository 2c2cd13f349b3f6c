"""Hours by month: what confirmed sessions reserve of each room, person and unit, and of what they are
open.

A month is the studio's: it begins at midnight on its clock. Time is elapsed time, so that the nights
of the clock changes have 23 and 25 hours, and what runs over the end of a month counts in both.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from django.db.models import Model, Q
from django.utils import timezone

from gear.equipment.models import Unit
from sessions.bookings.free.search import common
from sessions.bookings.models import Reservation, Status
from sessions.clients.models import Person
from sessions.periods import Period
from sessions.rooms.hours import hours_of, joined, left_over, open_periods
from sessions.rooms.models import Room
from sessions.rooms.resources import KINDS

COUNTED = (Status.CONFIRMED, Status.UNDER_WAY, Status.WRAPPED)
NOTHING = timedelta(0)
Months = tuple[timedelta, ...]  # twelve, from January
ByKey = dict[str, dict[int, list[Period]]]  # kind -> primary key -> periods


@dataclass(frozen=True)
class Use:
    """One room, person or unit through a year: the hours that sessions reserve; those that it is open
    or works, less closures and leave, and which of these they reserve. The last two are None where
    no hours are given, as of units."""

    resource: Model
    months: Months
    open: Months | None = None
    used_open: Months | None = None

    @property
    def total(self) -> timedelta:
        return sum(self.months, NOTHING)

    @property
    def percents(self) -> list[int | None]:
        """Of its open hours what is reserved of them, month by month; None where it is not open."""
        if self.open is None:
            return [None] * 12
        return [in_percent(*each) for each in zip(self.used_open, self.open, strict=True)]

    @property
    def percent(self) -> int | None:
        if self.open is None:
            return None
        return in_percent(sum(self.used_open, NOTHING), sum(self.open, NOTHING))


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


def in_hours(length: timedelta) -> Decimal:
    """In hours to two places, half of the last going to the even one."""
    return (Decimal(int(length.total_seconds())) / 3600).quantize(Decimal("0.01"))


def in_percent(part: timedelta | int, whole: timedelta | int) -> int | None:
    """In whole per cent, half going up, but all of it only where it is all; None of nothing."""
    if not whole:
        return None
    nearest = int(100 * part / whole + 0.5)
    return 99 if nearest == 100 and part < whole else nearest


def use_of_year(year: int) -> list[KindOfUse]:
    """Rooms, people and equipment: every room in service, and whatever else was used.

    Counts what stands in first place for sessions that are confirmed, under way or wrapped, with
    the time before and after; holds and blocks are not use. In a constant number of queries.
    """
    starts = month_starts(year)
    used, blocked = _taken(starts)
    rooms, people, units = (
        list(Room.objects.current_or(*used["room"])),
        list(Person.objects.filter(Q(pk__in=used["person"]) | Q(bookable=True, retired=False))),
        Unit.objects.filter(pk__in=used["unit"]).for_list(),
    )
    open_of = open_hours([*rooms, *people], blocked, starts)
    return [
        _kind("room", "Rooms", rooms, used, open_of, starts),
        _kind("person", "People", people, used, open_of, starts),
        _kind("unit", "Gear", units, used, open_of, starts),
    ]


def _kind(kind: str, word: str, resources: Iterable[Model], used, open_of, starts) -> KindOfUse:
    uses = []
    for each in resources:
        periods, opened = used[kind][each.pk], open_of.get(each)
        open_months = used_open = None
        if opened is not None:
            open_months = by_month(opened, starts)
            used_open = by_month(common(joined(periods), opened), starts)
        uses.append(Use(each, by_month(periods, starts), open_months, used_open))
    return KindOfUse(kind, word, tuple(uses))


def _taken(starts: list[datetime]) -> tuple[ByKey, ByKey]:
    """For each kind, by primary key, the periods that sessions that count take, and those that blocks
    do. One query."""
    counts = Q(session__status__in=COUNTED) | Q(block__isnull=False)
    rows = (
        Reservation.objects.filter(counts, rank=1)
        .overlapping(starts[0], starts[-1])
        .order_by("starts_at")
        .values_list("block_id", "room_id", "person_id", "unit_id", "starts_at", "ends_at")
    )
    used, blocked = ({kind: defaultdict(list) for kind in KINDS.values()} for _ in range(2))
    for block, *keys, starts_at, ends_at in rows:
        for kind, key in zip(KINDS.values(), keys, strict=True):
            if key:
                (blocked if block else used)[kind][key].append((starts_at, ends_at))
    return used, blocked


def open_hours(
    resources: list[Model], blocked: ByKey, starts: list[datetime]
) -> dict[Model, list[Period]]:
    """Of each that has hours when it is open or works, less what blocks close. One query."""
    opened = {}
    for each, rows in hours_of(resources).items():
        if rows:
            closed = joined(blocked[KINDS[type(each)]][each.pk])
            hours = open_periods(rows, starts[0], starts[-1])
            opened[each] = common(hours, left_over((starts[0], starts[-1]), closed))
    return opened


def by_month(periods: Iterable[Period], starts: list[datetime]) -> Months:
    """The time of the periods in each month."""
    months = [NOTHING] * 12
    for starts_at, ends_at in periods:
        first = max(bisect_right(starts, starts_at) - 1, 0)
        for number in range(first, 12):
            if starts[number] >= ends_at:
                break
            share = min(ends_at, starts[number + 1]) - max(starts_at, starts[number])
            months[number] += max(share, NOTHING)
    return tuple(months)
