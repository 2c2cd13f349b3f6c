"""Units that are booked though something is wrong with them."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from django.db.models import Prefetch, QuerySet

from gear.equipment.models import Fault, Unit
from sessions.bookings.models import RecordingSession, Reservation
from sessions.desk.today.running import DAYS_AHEAD


@dataclass
class FaultyUnit:
    unit: Unit
    faults: list[Fault]
    sessions: list[RecordingSession] = field(default_factory=list)  # the next first


def faulty_units_booked(sessions: QuerySet, now: datetime) -> list[FaultyUnit]:
    """Units in service with an open fault that sessions of the next days take, the next first.

    What is on the bench wants a stand-in, and stands with those. Two queries.
    """
    taken = (
        Reservation.objects.to_come(now)
        .standing()
        .filter(
            session__in=sessions,
            session__starts_at__lt=now + timedelta(days=DAYS_AHEAD),
            unit__in=Unit.objects.in_service().filter(faults__in=Fault.objects.open()),
        )
        .select_related("session", "unit__model")
        .prefetch_related(Prefetch("unit__faults", Fault.objects.open(), to_attr="open_faults"))
        .order_by("session__starts_at", "session", "pk")
    )
    found: dict[Unit, FaultyUnit] = {}
    for each in taken:
        faulty = found.setdefault(each.unit, FaultyUnit(each.unit, each.unit.open_faults))
        faulty.sessions.append(each.session)
    return list(found.values())
