"""The rest of a series before it is changed: what would become of each date, and what is in the way."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import combinations

from django.db.models import Model, QuerySet
from django.utils import timezone

from sessions.bookings.actions.checks import check_bookable, check_rooms
from sessions.bookings.clashes import BookingRefused, Clash
from sessions.bookings.models import FIRST_STATUSES, RecordingSession, Series, Status
from sessions.bookings.outside_hours import OutsideHours, outside_hours
from sessions.bookings.series.dates import clashes, first_in_line, lies_in
from sessions.bookings.series.rest.changes import LEADS_TO, Change, Verb, is_possible
from sessions.periods import Period, midnight, period_in_words

Wanted = Mapping[Model, Period]


@dataclass(frozen=True)
class RestDate:
    """One session of the series, when it would be, and all that is in the way of that.

    `period` is None where the studio's clock does not show that time exactly once. `wanted` is the
    time that it asks for and does not own (what is missing stays so, where it is not to be had),
    `refused` what is wrong whoever has the time.
    """

    session: RecordingSession
    period: Period | None
    refused: list[str]
    wanted: Wanted = field(default_factory=dict)
    clashes: list[Clash] = field(default_factory=list)
    together: list[str] = field(default_factory=list)
    outside: list[OutsideHours] = field(default_factory=list)

    @property
    def in_the_way(self) -> list[str]:
        """Why it cannot be, in sentences; none where it can."""
        return [*self.refused, *map(str, self.clashes), *self.together, *map(str, self.outside)]

    @property
    def period_in_words(self) -> str:
        return period_in_words(*self.period) if self.period else ""

    @property
    def key(self) -> str:
        """How a form names it: with the version that was shown, so that no other is changed."""
        return f"{self.session.pk}.{self.session.version}"


def rest_of(series: Series, *, since: date, among: QuerySet) -> QuerySet:
    """The sessions that begin on that day or later, are not over and have not begun or been
    cancelled; of those in `among`."""
    sessions = among.filter(
        series=series, status__in=FIRST_STATUSES, starts_at__gte=midnight(since)
    )
    return sessions.upcoming(timezone.now())


def dates_of_rest(
    sessions: Iterable[RecordingSession], change: Change, *, chosen: Collection[int]
) -> list[RestDate]:
    """What would become of each session that the change is possible for, as `for_list` loads them.

    The ones that are `chosen` (their keys) are changed together: time that one of them gives up is
    free for another, unless somebody stands behind it. Two queries, however many there are.
    """
    dates = [_date(each, change) for each in sessions if is_possible(change.verb, each)]
    moving = [each.session.pk for each in dates if change.move and each.session.pk in chosen]
    taken = first_in_line([each.wanted for each in dates], without=moving)
    together = _together([each for each in dates if each.session.pk in moving])
    outside = _outside(dates) if change.move and not change.all_the_same else []
    return [
        replace(
            each,
            clashes=clashes(
                [row for row in taken if row.session_id != each.session.pk], each.wanted
            ),
            together=together.get(each.session.pk, []),
            outside=[part for part in outside if lies_in(part, _around(each))],
        )
        for each in dates
    ]


def _date(session: RecordingSession, change: Change) -> RestDate:
    try:
        period = _new_period(session, change)
    except ValueError as error:
        return RestDate(session, None, [str(error)])
    date = RestDate(session, period, _refused(session, change, period))
    return replace(date, wanted=_wanted(date, change))


def _wanted(date: RestDate, change: Change) -> Wanted:
    reserved = [each for each in date.session.reservations.all() if not each.missing]
    if change.queues(date.session):
        return {}
    if LEADS_TO.get(change.verb) in (Status.CONFIRMED, Status.HELD):
        asking = [each for each in reserved if each.rank != 1]
        return {each.resource: (each.starts_at, each.ends_at) for each in asking}
    if change.move and date.session.takes_time:
        around = _around(date)
        return {each.resource: around[each.resource] for each in reserved}
    return {}


def _new_period(session: RecordingSession, change: Change) -> Period:
    return change.move.new_period(session) if change.move else (session.starts_at, session.ends_at)


def _around(date: RestDate) -> Wanted:
    """The time that it would take, padding included."""
    if not date.period:
        return {}
    return {
        each.resource: each.padding.around(*date.period) for each in date.session.reservations.all()
    }


def _refused(session: RecordingSession, change: Change, period: Period) -> list[str]:
    refused = []
    if change.move and period[1] <= timezone.now():
        refused.append("That would be over already.")
    if change.verb == Verb.CONFIRM and getattr(session, "overdue", False):
        refused.append("This hold was challenged and not confirmed in time, so it lapses.")
    if LEADS_TO.get(change.verb) in (Status.CONFIRMED, Status.HELD) and not session.takes_time:
        resources = [each.resource for each in session.reservations.all()]
        for check in (check_rooms, check_bookable):
            try:
                check(resources)
            except BookingRefused as refusal:
                refused += refusal.messages
    return refused


def _together(moving: list[RestDate]) -> dict[int, list[str]]:
    """By the session's key: which other of those that move would want the same at the same time."""
    found: dict[int, list[str]] = {}
    for one, other in combinations(moving, 2):
        for it in (each for each in one.wanted if each in other.wanted):
            (start, end), (other_start, other_end) = one.wanted[it], other.wanted[it]
            if start < other_end and other_start < end:
                for this, that in ((one, other), (other, one)):
                    found.setdefault(this.session.pk, []).append(
                        f"{it} is wanted by another of these dates too: {that.period_in_words}."
                    )
    return found


def _outside(dates: list[RestDate]) -> list[OutsideHours]:
    """Where what moves would be outside of its hours, and has not been all along. A lockout may."""
    wanted: dict[Model, list[Period]] = {}
    for each in dates:
        if each.session.lockout or not each.period:
            continue
        for reservation in each.session.reservations.all():
            period = reservation.padding.around(*each.period)
            if not (reservation.starts_at <= period[0] and period[1] <= reservation.ends_at):
                wanted.setdefault(reservation.resource, []).append(period)
    return outside_hours(wanted)


def in_order(dates: list[RestDate]) -> list[RestDate]:
    """The dates in an order in which none moves to where another of them still is."""
    waiting, ordered = list(dates), []
    while waiting:
        free = (each for each in waiting if not _still_taken(each, waiting))
        ordered.append(next(free, waiting[0]))
        waiting.remove(ordered[-1])
    return ordered


def _still_taken(date: RestDate, waiting: list[RestDate]) -> bool:
    for other in waiting:
        if other is date:
            continue
        for each in other.session.reservations.all():
            start, end = date.wanted.get(each.resource, (each.ends_at, each.ends_at))
            if each.starts_at < end and start < each.ends_at:
                return True
    return False
