"""Time around a session that its rooms, people and units are taken for: load-in, warm-up, teardown."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db.models import Model

from gear.equipment.models import Unit
from sessions.periods import Period

LONGEST_MINUTES = 24 * 60


@dataclass(frozen=True)
class Padding:
    """Minutes before a session starts and after it ends."""

    before: int = 0
    after: int = 0

    def around(self, starts_at: datetime, ends_at: datetime) -> Period:
        """The padded period, in UTC: what clashes.

        Minutes taken from a local time would be minutes of the clock on the wall, which is wrong
        across a clock change.
        """
        before, after = timedelta(minutes=self.before), timedelta(minutes=self.after)
        return starts_at.astimezone(UTC) - before, ends_at.astimezone(UTC) + after


def usual_padding(resource: Model) -> Padding:
    """What a reservation has unless somebody says otherwise: the warm-up time of a unit's model.

    Costs a query if the model of a unit is not loaded.
    """
    return Padding(resource.model.warm_up_minutes if isinstance(resource, Unit) else 0)
