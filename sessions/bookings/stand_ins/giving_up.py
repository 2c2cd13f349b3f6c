"""What sessions to come give up to a block, and have back once it is gone.

No two reservations may overlap, so a block over booked time takes it: the session keeps its own
time and lists what it lost as missing, until something stands in for it or the block is removed.
"""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Model
from django.utils import timezone

from sessions.bookings.clashes import find_clashes
from sessions.bookings.models import RecordingSession, Reservation, Status
from sessions.bookings.telling import tell
from sessions.periods import Period

Stretch = tuple[Model, datetime, datetime]  # of a resource's time


def given_up_to(resources: Iterable[Model], period: Period) -> list[Reservation]:
    """What sessions to come would give up to a block of these within the half-open period, those
    that begin first before the rest. One query, and none is locked."""
    standing = Reservation.objects.of(resources).filter(rank=1).overlapping(*period)
    found = standing.to_come(timezone.now()).for_list().with_holders()
    return list(found.order_by("session__starts_at", "session", "pk"))


def give_up(resources: Iterable[Model], period: Period, *, by) -> list[Stretch]:
    """Let sessions to come lose these within the period, and return the time that each had. Whoever
    is not needed any more is told so, and never why.

    Call first in the transaction that then locks the resources, blocks the time and lets those
    behind move up: whatever else changes a session locks it before what it takes.
    """
    keys = {each.session_id for each in given_up_to(resources, period)}
    sessions = RecordingSession.objects.filter(pk__in=keys).order_by("pk")
    sessions = list(sessions.select_for_update(of=("self",), no_key=True))
    found = [each for each in given_up_to(resources, period) if each.session in sessions]
    for session in sessions:
        count_a_change(session)
    for reservation in found:
        reservation.rank, reservation.missing = None, True
        reservation._change_reason = "given up to a block"
        reservation.save()
    tell(*sessions, by=by)
    return [(each.resource, each.starts_at, each.ends_at) for each in found]


def give_back(resource: Model, starts_at: datetime, ends_at: datetime) -> list[RecordingSession]:
    """After a block has given the time up: what misses the resource then has it again, unless it
    is taken; what is confirmed first. Returns the sessions that have it again.

    Call inside the transaction, before those behind move up.
    """
    missing = Reservation.objects.of([resource]).filter(missing=True)
    missing = missing.to_come(timezone.now()).overlapping(starts_at, ends_at)
    again = []
    for each in sorted(missing.select_related("session").order_by("pk"), key=_holds_last):
        if find_clashes({resource: (each.starts_at, each.ends_at)}):
            continue
        each.rank, each.missing = 1, False
        each._change_reason = "to be had again"
        each.save()
        again.append(each.session)
    for session in again:
        count_a_change(session)
    return again


def _holds_last(reservation: Reservation) -> bool:
    return reservation.session.status == Status.HELD


def count_a_change(session: RecordingSession) -> None:
    """Whoever has its form open is told, and calendars take what is written of it now for newer."""
    session.version += 1
    session.save(update_fields=["version"])
