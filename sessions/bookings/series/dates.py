"""The dates of a series before they are booked: when each would be, and what is in its way."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime

from django.db.models import Exists, Model, OuterRef, Q
from django.utils import timezone

from sessions.bookings.clashes import Clash, in_the_way
from sessions.bookings.models import RecordingSession, Reservation, Status
from sessions.bookings.outside_hours import OutsideHours, outside_hours
from sessions.bookings.padding import Padding
from sessions.bookings.series.rules import Rule, RuleRefused
from sessions.periods import Period, period_in_words, why_no_instant


@dataclass(frozen=True)
class SeriesDate:
    """One date of a series. Its period is None where the studio's clock does not show that time
    exactly once; `no_instant` says why."""

    local: datetime
    period: Period | None
    no_instant: str = ""
    clashes: list[Clash] = field(default_factory=list)
    outside: list[OutsideHours] = field(default_factory=list)

    def __str__(self) -> str:
        return period_in_words(*self.period) if self.period else self.no_instant

    @property
    def key(self) -> str:
        """How a form names it."""
        return self.local.isoformat(timespec="minutes")

    def in_the_way(self, *, status: str, queue_behind: bool, all_the_same: bool) -> list[str]:
        """Why it cannot be booked so, in sentences; none where it can."""
        if not self.period:
            return [self.no_instant]
        queues = status == Status.HELD and queue_behind
        taken = [] if queues or status == Status.ENQUIRY else self.clashes
        closed = [] if all_the_same else self.outside
        over = status != Status.CONFIRMED and self.period[1] <= timezone.now()
        return [*(["This date is over already."] if over else []), *map(str, [*taken, *closed])]


def local_period(start: datetime, end: datetime) -> Period:
    """The period, in UTC, of two naive times on the studio's clock.

    Raises ValueError with a sentence for a time that the clock does not show, or shows twice.
    """
    return _instant(start), _instant(end)


def _instant(local: datetime) -> datetime:
    zone = timezone.get_current_timezone()
    moments = {local.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1)}
    if len(moments) > 1:
        raise ValueError(why_no_instant(local))
    return moments.pop()


def dates_by_rule(
    session: RecordingSession, rule: Rule, paddings: Iterable[Padding]
) -> list[SeriesDate]:
    """The dates on which the session would be repeated; it is the first of the series itself.

    Start and end stay at the same time on the studio's clock: over a clock change a night is an hour
    longer or shorter. Raises RuleRefused as `Rule.starts`, and where one would run into the next.
    """
    first, end = timezone.make_naive(session.starts_at), timezone.make_naive(session.ends_at)
    dates = [_date(start, start + (end - first)) for start in rule.starts(first)[1:]]
    periods = [(session.starts_at, session.ends_at)]
    periods += [date.period for date in dates if date.period]
    for padding in [Padding(), *paddings]:
        around = [padding.around(*period) for period in periods]
        for (_, this_end), (next_start, _) in zip(around, around[1:], strict=False):
            if next_start < this_end:
                raise RuleRefused(
                    "INTERVAL",
                    "The sessions would overlap, teardown included: repeat less often.",
                )
    return dates


def _date(start: datetime, end: datetime) -> SeriesDate:
    try:
        return SeriesDate(start, local_period(start, end))
    except ValueError as error:
        return SeriesDate(start, None, str(error))


def with_what_is_in_the_way(
    dates: list[SeriesDate], paddings: Mapping[Model, Padding], *, lockout: bool
) -> list[SeriesDate]:
    """The dates with every clash and every closed hour. Two queries, however many dates there are.

    A lockout may be outside of the hours, as `book_session` has it.
    """
    wanted = {
        date.key: {each: padding.around(*date.period) for each, padding in paddings.items()}
        for date in dates
        if date.period
    }
    taken = first_in_line(wanted.values())
    periods = {each: [by_resource[each] for by_resource in wanted.values()] for each in paddings}
    outside = [] if lockout else outside_hours(periods)
    return [
        replace(
            date,
            clashes=clashes(taken, wanted.get(date.key, {})),
            outside=[each for each in outside if lies_in(each, wanted.get(date.key, {}))],
        )
        for date in dates
    ]


def first_in_line(
    wanted: Iterable[Mapping[Model, Period]], *, without: Collection[int] = ()
) -> list[Reservation]:
    """What has the first place on any of the dates, or would have it once the sessions `without`
    (their keys) gave theirs up: who stands behind them alone moves up. One query."""
    resources = {resource for by_resource in wanted for resource in by_resource}
    any_date = Q(pk__in=[])
    for by_resource in filter(None, wanted):
        starts, ends = zip(*by_resource.values(), strict=True)
        any_date |= Q(starts_at__lt=max(ends), ends_at__gt=min(starts))
    stays = ~Q(session__in=without) | Q(session=None)
    before = Reservation.objects.filter(
        Q(room=OuterRef("room")) | Q(person=OuterRef("person")) | Q(unit=OuterRef("unit")),
        rank__lt=OuterRef("rank"),
        starts_at__lt=OuterRef("ends_at"),
        ends_at__gt=OuterRef("starts_at"),
    )
    moves_up = Exists(before.exclude(stays)) & ~Exists(before.filter(stays))
    found = Reservation.objects.of(resources).filter(any_date).filter(stays)
    found = found.filter(Q(rank=1) | moves_up)
    return list(found.for_list().with_holders().order_by("starts_at", "pk"))


def clashes(taken: list[Reservation], wanted: Mapping[Model, Period]) -> list[Clash]:
    """Of `first_in_line`, what has any of it within the period in which it is wanted."""
    found = []
    for each in taken:
        start, end = wanted.get(each.resource, (each.ends_at, each.ends_at))
        if each.starts_at < end and start < each.ends_at:
            overlap = max(each.starts_at, start), min(each.ends_at, end)
            found.append(Clash(each.resource, in_the_way(each), *overlap, 1))
    return found


def lies_in(outside: OutsideHours, wanted: Mapping[Model, Period]) -> bool:
    if outside.resource not in wanted:
        return False
    start, end = wanted[outside.resource]
    return start <= outside.starts_at and outside.ends_at <= end
