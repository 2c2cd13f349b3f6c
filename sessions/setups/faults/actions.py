"""A fault reported from inside a session, so that the session's report tells of it."""

from gear.acting import action
from gear.equipment.actions import report_fault
from gear.equipment.models import Fault, Unit
from sessions.bookings.models import RecordingSession
from sessions.setups.models import Revision, Stage


def units_of(session: RecordingSession) -> list[Unit]:
    """What the session works with: the units in its chains as they stand, then those reserved."""
    newest = Revision.objects.newest().filter(chain__setup__session=session)
    in_chains = set(Stage.objects.filter(revision__in=newest).values_list("unit_id", flat=True))
    standing = session.reservations.standing().filter(unit__isnull=False)
    reserved = set(standing.values_list("unit_id", flat=True))
    units = Unit.objects.filter(pk__in=in_chains | reserved).for_list()
    return sorted(units, key=lambda unit: unit.pk not in in_chains)


@action
def report_in_session(
    session: RecordingSession,
    unit: Unit,
    *,
    description: str,
    to_bench: bool,
    channel: int | None = None,
    by,
) -> Fault:
    """Write the fault down for the unit and for the session; to_bench takes it out of service."""
    fault = report_fault(unit, description=description, to_bench=to_bench, channel=channel, by=by)
    session.faults.add(fault)
    return fault
