from django.contrib.auth.models import AbstractBaseUser
from django.utils import timezone

from gear.acting import action
from gear.editing.versions import claim_version
from gear.equipment.models import Fault, FaultState, Unit, UnitState


@action
def report_fault(
    unit: Unit,
    *,
    description: str,
    by: AbstractBaseUser,
    to_bench: bool = False,
    channel: int | None = None,
) -> Fault:
    """Write down what is wrong with a unit, and put it on the bench if it cannot be used."""
    fault = Fault.objects.create(
        unit=unit, channel=channel, description=description, reported_by=by
    )
    if to_bench:
        _put(unit, UnitState.ON_THE_BENCH)
    return fault


@action
def work_on_fault(
    fault: Fault,
    *,
    version: int,
    description: str,
    state: str,
    remedy: str,
    by: AbstractBaseUser,
    put: str = "",
) -> Fault:
    """Bring a fault up to date: closing it notes the time, reopening it takes the time away.

    put is the state that its unit goes to in the same step, "" to leave it where it is. Raises
    EditedMeanwhile when somebody saved the fault after `version`.
    """
    claim_version(fault, version)
    fault.description, fault.state, fault.remedy = description, state, remedy
    if state != FaultState.CLOSED:
        fault.closed_at = None
    elif fault.closed_at is None:
        fault.closed_at = timezone.now()
    fault.save()
    if put:
        _put(fault.unit, put)
    return fault


def _put(unit: Unit, state: str) -> None:
    unit.refresh_from_db(from_queryset=Unit.objects.select_for_update())
    claim_version(unit, unit.version)
    unit.state = state
    unit.save(update_fields=["state"])
