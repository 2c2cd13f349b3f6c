"""When a unit was out of service."""

from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from gear.equipment.models import Unit, UnitState


@dataclass(frozen=True)
class Away:
    """A time on the bench, or retired; `until` is None while it lasts."""

    state: str
    since: datetime
    until: datetime | None
    who: str


def times_away(unit: Unit) -> list[Away]:
    """The stretches of its history out of service, the newest first, each until the first entry in
    another state. One query."""
    entries = unit.history.select_related("history_user").order_by("history_date", "history_id")
    turns = [
        entry
        for before, entry in pairwise([None, *entries])
        if before is None or before.state != entry.state
    ]
    return [
        Away(
            UnitState(turn.state).label,
            turn.history_date,
            after and after.history_date,
            str(turn.history_user or "The studio"),
        )
        for turn, after in pairwise([*turns, None])
        if turn.state != UnitState.IN_SERVICE
    ][::-1]
