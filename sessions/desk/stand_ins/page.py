"""What the pages that offer stand-ins show: what is missing, what fits, and chains that still have
what is out of service."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils import timezone

from gear.equipment.models import UnitState
from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.stand_ins.forms import StandInsForm
from sessions.bookings.stand_ins.needs import open_needs
from sessions.setups.models import Revision, Stage

OUT = (UnitState.ON_THE_BENCH, UnitState.RETIRED)


@dataclass(frozen=True)
class StandIns:
    form: StandInsForm
    stages: tuple[Stage, ...]

    def __bool__(self) -> bool:
        return bool(self.form.needs or self.stages)


def stand_ins_of(user, about: Mapping[str, int], data=None) -> StandIns:
    """Of the sessions that the user may see; `about` a session, room, person or unit (by its key)
    or, empty, all of them. In a constant number of queries."""
    sessions = RecordingSession.objects.visible_to(user)
    needs = open_needs(sessions).filter(**about)
    settles = user.has_perm("studio_sessions.settle_bookings")
    stages = () if about.keys() & {"room", "person"} else stages_out_of_service(sessions, about)
    return StandIns(StandInsForm(data, needs=list(needs), settles=settles), tuple(stages))


def stages_out_of_service(sessions: QuerySet, about: Mapping[str, int]) -> QuerySet:
    """Where units that are out of service stand in chains that are up, of sessions to come. What is
    reserved may have its stand-in already, and the chain still waits for it."""
    to_come = sessions.filter(
        status__in=(Status.HELD, Status.CONFIRMED, Status.UNDER_WAY), ends_at__gt=timezone.now()
    )
    if "session" in about:
        to_come = to_come.filter(pk=about["session"])
    newest = Revision.objects.newest().filter(
        chain__struck_at=None, chain__setup__struck_at=None, chain__setup__session__in=to_come
    )
    stages = Stage.objects.filter(revision__in=newest, unit__state__in=OUT)
    if "unit" in about:
        stages = stages.filter(unit=about["unit"])
    return stages.select_related(
        "unit__model", "revision__chain__source", "revision__chain__setup__session"
    ).order_by("revision__chain__setup__session__starts_at", "revision__chain", "position")
