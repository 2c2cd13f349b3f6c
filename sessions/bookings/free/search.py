"""When rooms, people and units are free together.

The search itself knows no database: it works on the free periods of each resource, which
`free_times` loads in two queries, however many resources and reservations there are.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db.models import Model

from sessions.bookings.models import RecordingSession, Reservation
from sessions.bookings.padding import Padding, usual_padding
from sessions.periods import Period
from sessions.rooms.hours import hours_of, joined, left_over, open_periods
from sessions.rooms.resources import by_kind

STEP = timedelta(
    minutes=15
)  # every zone's offset is a multiple of it: quarter hours in all of them
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

Spans = list[Period]  # of starts: the first and the last moment at which a session may start


@dataclass(frozen=True)
class FreePeriod:
    """A period in which all that is wanted is free, and which of the wanted it would take."""

    starts_at: datetime
    ends_at: datetime
    takes: tuple[Model, ...]


def find_free_time(
    wanted: Sequence[Collection[Model]],
    *,
    length: timedelta,
    within: Period,
    count: int,
    padding: Mapping[Model, Padding] | None = None,
    ignoring: RecordingSession | None = None,
) -> list[FreePeriod]:
    """The earliest `count` periods of that length within the half-open period, as `earliest`.

    What `padding` does not name has its usual one: it must be free too, and may lie outside of
    `within`. Two queries, if the models of units are loaded.
    """
    padding = {each: usual_padding(each) for group in wanted for each in group} | (padding or {})
    free = free_times(padding, *widened(within, padding.values()), ignoring=ignoring)
    return earliest(wanted, free, length=length, within=within, count=count, padding=padding)


def widened(period: Period, paddings: Iterable[Padding]) -> Period:
    """The period with the longest padding around it."""
    around = [padding.around(*period) for padding in paddings] or [period]
    return min(start for start, _ in around), max(end for _, end in around)


def free_times(
    resources: Iterable[Model],
    starts_at: datetime,
    ends_at: datetime,
    *,
    at_all_hours: bool = False,
    ignoring: RecordingSession | None = None,
) -> dict[Model, list[Period]]:
    """When each resource is open or at work and nobody has it at rank 1, earliest first.

    `at_all_hours` passes over when rooms are open and people at work. Two queries.
    """
    resources = list(resources)
    starts_at, ends_at = starts_at.astimezone(UTC), ends_at.astimezone(UTC)
    taken = _taken(resources, starts_at, ends_at, ignoring)
    hours = hours_of(resources)
    free = {}
    for kind, of_kind in by_kind(resources).items():
        for resource in of_kind:
            gaps = left_over((starts_at, ends_at), joined(taken[kind, resource.pk]))
            rows = hours[resource]
            free[resource] = (
                common(gaps, open_periods(rows, starts_at, ends_at))
                if rows and not at_all_hours
                else gaps
            )
    return free


def _taken(resources, starts_at, ends_at, ignoring) -> dict[tuple[str, int], list[Period]]:
    """What reservations leave no time within the period, cut to it, by kind and key. One query."""
    rows = Reservation.objects.of(resources).filter(rank=1).overlapping(starts_at, ends_at)
    if ignoring is not None:
        rows = rows.exclude(session=ignoring)
    kinds = by_kind(resources)
    taken = defaultdict(list)
    for *keys, start, end in rows.values_list(
        *(f"{kind}_id" for kind in kinds), "starts_at", "ends_at"
    ):
        [named] = [(kind, key) for kind, key in zip(kinds, keys, strict=True) if key]
        taken[named].append((max(start, starts_at), min(end, ends_at)))
    return taken


def common(some: Sequence[Period], others: Sequence[Period]) -> list[Period]:
    """The time in both; each comes in order and apart, and so does the answer."""
    shared, left, right = [], 0, 0
    while left < len(some) and right < len(others):
        (start, end), (other_start, other_end) = some[left], others[right]
        if max(start, other_start) < min(end, other_end):
            shared.append((max(start, other_start), min(end, other_end)))
        if end < other_end:
            left += 1
        else:
            right += 1
    return shared


def earliest(
    wanted: Sequence[Collection[Model]],
    free: Mapping[Model, Sequence[Period]],
    *,
    length: timedelta,
    within: Period,
    count: int,
    padding: Mapping[Model, Padding],
) -> list[FreePeriod]:
    """The earliest periods of that length in which one of each group of `wanted` is free throughout.

    They start on quarter hours and share no time with each other. Of a group, the first that is
    free is taken; no resource may stand in two groups.
    """
    within = within[0].astimezone(UTC), within[1].astimezone(UTC)
    spans = _spans(wanted, free, length, within, padding)
    found = []
    start = within[0]
    while len(found) < count:
        start = _settled(wanted, spans, start, FORWARDS)
        if start is None:
            break
        found.append(FreePeriod(start, start + length, _takes(wanted, spans, start)))
        start += length
    return found


def latest(
    wanted: Sequence[Collection[Model]],
    free: Mapping[Model, Sequence[Period]],
    *,
    length: timedelta,
    within: Period,
    padding: Mapping[Model, Padding],
) -> FreePeriod | None:
    """The last such period within `within`, starting on a quarter hour; None where there is none."""
    within = within[0].astimezone(UTC), within[1].astimezone(UTC)
    spans = _spans(wanted, free, length, within, padding)
    start = _settled(wanted, spans, within[1] - length, BACKWARDS)
    return start and FreePeriod(start, start + length, _takes(wanted, spans, start))


def _spans(wanted, free, length, within, padding) -> dict[Model, Spans]:
    """When a session of that length may start so that it, with its padding, is in free time."""
    spans = {}
    for each in (each for group in wanted for each in group):
        around = padding.get(each, Padding())
        before, after = timedelta(minutes=around.before), timedelta(minutes=around.after)
        starts = [
            (max(start + before, within[0]), min(end - after, within[1]) - length)
            for start, end in free[each]
        ]
        spans[each] = [(first, last) for first, last in starts if first <= last]
    return spans


def _takes(wanted, spans: Mapping[Model, Spans], start: datetime) -> tuple[Model, ...]:
    return tuple(
        next(each for each in group if _from(spans[each], start) == start) for group in wanted
    )


@dataclass(frozen=True)
class Direction:
    """Which way to look from a moment: for the nearest start in some spans, of several the nearest,
    and for the nearest quarter hour."""

    nearest: Callable[[Spans, datetime], datetime | None]
    of_several: Callable[[list[datetime]], datetime]
    quarter: Callable[[datetime], datetime]


def _from(spans: Spans, moment: datetime) -> datetime | None:
    index = bisect_left(spans, moment, key=lambda span: span[1])
    return max(moment, spans[index][0]) if index < len(spans) else None


def _up_to(spans: Spans, moment: datetime) -> datetime | None:
    index = bisect_right(spans, moment, key=lambda span: span[0])
    return min(moment, spans[index - 1][1]) if index else None


FORWARDS = Direction(_from, min, lambda moment: moment + (EPOCH - moment) % STEP)
BACKWARDS = Direction(_up_to, max, lambda moment: moment - (moment - EPOCH) % STEP)


def _settled(
    wanted, spans: Mapping[Model, Spans], start: datetime, direction: Direction
) -> datetime | None:
    """The nearest quarter hour, in that direction, at which one of each group may start."""
    start = direction.quarter(start)
    while True:
        begun_with = start
        for group in wanted:
            starts = [direction.nearest(spans[member], start) for member in group]
            starts = [each for each in starts if each is not None]
            if not starts:
                return None
            start = direction.quarter(direction.of_several(starts))
        if start == begun_with:
            return start
