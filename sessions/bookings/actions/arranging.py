"""The times and ranks of all that a session takes."""

from collections.abc import Mapping

from django.db.models import Model

from sessions.bookings.clashes import ClashError, find_clashes
from sessions.bookings.holds.answers import close_challenges
from sessions.bookings.holds.line import end_of_line, move_up
from sessions.bookings.models import TAKES_NOTHING, RecordingSession, Reservation, Status
from sessions.bookings.outside_hours import refuse_outside_hours
from sessions.bookings.padding import Padding, usual_padding
from sessions.bookings.telling import tell
from sessions.periods import Period
from sessions.rooms.resources import KINDS


def arrange(
    session: RecordingSession,
    resources: list[Model],
    *,
    before: Mapping[Model, Reservation] | None = None,
    padding: Mapping[Model, Padding] | None = None,
    queue_behind: bool,
    all_the_same: bool,
    by,
) -> None:
    """Save the session, and give each resource its time and its rank; what it had before
    and does not want any more is given up, and those behind move up. All concerned are told."""
    before = before or {}
    kept = {resource: reservation.padding for resource, reservation in before.items()}
    given = kept | dict(padding or {})
    paddings = {each: given[each] if each in given else usual_padding(each) for each in resources}
    wanted = {
        resource: each.around(session.starts_at, session.ends_at)
        for resource, each in paddings.items()
    }
    ranks = _ranks(session, wanted, before=before, queue_behind=queue_behind)
    if not all_the_same and not session.lockout:
        refuse_outside_hours(
            {
                resource: [period]
                for resource, period in wanted.items()
                if resource not in before or not _within(period, before[resource])
            }
        )
    given_up = [
        (each.resource, each.starts_at, each.ends_at) for each in before.values() if each.rank
    ]
    session.save()
    for resource in before.keys() - wanted.keys():
        before[resource].delete()
    for resource in resources:
        reservation = before.get(resource) or reservation_of(resource, session=session)
        rank = ranks[resource]
        missing = rank is None and session.takes_time
        reserve(reservation, paddings[resource], wanted[resource], rank, missing=missing)
    moved = [each for old in given_up for each in move_up(*old)]
    closed = close_challenges(session) if before else []
    others = [each.session for each in moved]
    sides = [side for each in closed for side in (each.hold, each.challenger)]
    tell(session, *others, *sides, by=by)


def _ranks(
    session: RecordingSession,
    wanted: Mapping[Model, Period],
    *,
    before: Mapping[Model, Reservation],
    queue_behind: bool,
) -> dict[Model, int | None]:
    """The rank of each resource, None for what is missing. Raises ClashError where there is none to
    be had."""
    if session.status in TAKES_NOTHING:
        return dict.fromkeys(wanted)
    kept = {
        resource: before[resource].rank
        for resource, period in wanted.items()
        if resource in before and _keeps_place(session, before[resource], period)
    }
    asking = {resource: period for resource, period in wanted.items() if resource not in kept}
    own = None if session._state.adding else session
    clashes = find_clashes(asking, ignoring=own)
    missing = {each.resource for each in clashes if _is_missing(each.resource, before)}
    kept |= dict.fromkeys(missing)
    asking = {resource: period for resource, period in asking.items() if resource not in missing}
    clashes = [each for each in clashes if each.resource not in missing]
    if session.status != Status.HELD or not queue_behind:
        if clashes:
            raise ClashError(clashes)
        return kept | dict.fromkeys(asking, 1)
    taken = {clash.resource for clash in clashes}
    stays_first = [
        resource
        for resource in asking
        if resource not in taken and resource in before and before[resource].rank == 1
    ]
    queueing = {each: period for each, period in asking.items() if each not in stays_first}
    return kept | dict.fromkeys(stays_first, 1) | end_of_line(queueing, ignoring=own)


def _is_missing(resource: Model, before: Mapping[Model, Reservation]) -> bool:
    """What was given up to a block stays so while it is not to be had: no change of anything else
    waits for a stand-in."""
    return resource in before and before[resource].missing


def _keeps_place(session: RecordingSession, before: Reservation, period: Period) -> bool:
    """Within its old time a hold keeps its place; anything firmer keeps only the first."""
    return (
        before.rank is not None
        and (before.rank == 1 or session.status == Status.HELD)
        and _within(period, before)
    )


def _within(period: Period, before: Reservation) -> bool:
    return before.starts_at <= period[0] and period[1] <= before.ends_at


def reservation_of(resource: Model, **holder) -> Reservation:
    """A new one, not saved yet, for `session=…` or `block=…`."""
    return Reservation(**{KINDS[type(resource)]: resource}, **holder)


def reserve(
    reservation: Reservation,
    padding: Padding,
    period: Period,
    rank: int | None,
    *,
    missing: bool = False,
) -> None:
    """Write one reservation, if there is anything new to write."""
    facts = ("starts_at", "ends_at", "rank", "missing", "padding")
    old = tuple(getattr(reservation, name) for name in facts)
    if not reservation._state.adding and old == (*period, rank, missing, padding):
        return
    reservation.starts_at, reservation.ends_at = period
    reservation.before_minutes, reservation.after_minutes = padding.before, padding.after
    reservation.rank, reservation.missing = rank, missing
    reservation.save()
