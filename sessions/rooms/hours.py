"""Opening hours of rooms and working hours of people, laid over real days."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from itertools import groupby
from operator import itemgetter

from django.db.models import Model, Q
from django.utils import timezone
from django.utils.formats import time_format

from sessions.periods import Period, instant_of
from sessions.rooms.models import Weekday, WeeklyHours
from sessions.rooms.resources import by_kind

DAY = timedelta(days=1)


def hours_of(resources: Iterable[Model]) -> dict[Model, list[WeeklyHours]]:
    """The weekly hours of each resource, in the order of the week; none for a unit. One query."""
    kinds = by_kind(resources)
    found = defaultdict(list)
    rows = WeeklyHours.objects.filter(Q(room__in=kinds["room"]) | Q(person__in=kinds["person"]))
    for row in rows if kinds["room"] or kinds["person"] else ():
        found[("room", row.room_id) if row.room_id else ("person", row.person_id)].append(row)
    return {
        resource: found[(kind, resource.pk)]
        for kind, of_kind in kinds.items()
        for resource in of_kind
    }


def open_periods(
    hours: Iterable[WeeklyHours], starts_at: datetime, ends_at: datetime
) -> list[Period]:
    """When a room is open or a person works within the period, earliest first, none touching.

    On the studio's clock: on the night of a clock change 22:00 to 06:00 is 7 or 9 hours long.
    """
    by_weekday = defaultdict(list)
    for row in hours:
        by_weekday[row.weekday].append(row)
    day = timezone.localtime(starts_at).date() - DAY  # last night's hours may run into the period
    last = timezone.localtime(ends_at).date()
    periods = []
    while day <= last:
        periods += [_on(day, row) for row in by_weekday[day.weekday()]]
        day += DAY
    clipped = [(max(start, starts_at), min(end, ends_at)) for start, end in periods]
    return joined([(start, end) for start, end in clipped if start < end])


def _on(day: date, row: WeeklyHours) -> Period:
    """The real time of one row that begins on `day`; closing at or before opening is the next day's."""
    closing_day = day if row.opens < row.closes else day + DAY
    return (
        instant_of(datetime.combine(day, row.opens)),
        instant_of(datetime.combine(closing_day, row.closes)),
    )


def joined(periods: Iterable[Period]) -> list[Period]:
    """The same time with no two periods that overlap or touch, earliest first."""
    apart: list[Period] = []
    for start, end in sorted(periods):
        if apart and start <= apart[-1][1]:
            apart[-1] = (apart[-1][0], max(end, apart[-1][1]))
        else:
            apart.append((start, end))
    return apart


def left_over(period: Period, covered: Iterable[Period]) -> list[Period]:
    """What of the period is in none of the `covered` ones, which come in order and apart."""
    start, end = period
    parts = []
    for from_, to in covered:
        if start < from_:
            parts.append((start, min(from_, end)))
        start = max(start, to)
    if start < end:
        parts.append((start, end))
    return parts


def hours_in_words(hours: Iterable[WeeklyHours]) -> str:
    """ "10:00 to 13:00, 14:00 to 02:00" of rows of one day."""
    return ", ".join(f"{time_format(row.opens)} to {time_format(row.closes)}" for row in hours)


def week_in_words(hours: list[WeeklyHours]) -> list[str]:
    """ "Monday to Friday 10:00 to 22:00", "Saturday 12:00 to 02:00": days alike stand together."""
    days = [
        (day.label, hours_in_words(row for row in hours if row.weekday == day)) for day in Weekday
    ]
    runs = []
    for words, run in groupby(days, key=itemgetter(1)):
        names = [name for name, _ in run]
        if words:
            span = names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"
            runs.append(f"{span} {words}")
    return runs
