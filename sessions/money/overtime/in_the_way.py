"""What stands in the way of going on longer, and what is to be known before it is approved."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from sessions.bookings.clashes import find_clashes
from sessions.bookings.models import RecordingSession
from sessions.bookings.outside_hours import outside_hours
from sessions.money.overtime.actions import GOES_ON
from sessions.periods import moment_in_words


@dataclass(frozen=True)
class InTheWay:
    """`taken` refuses the overtime, `closed` only warns; `free_until` is as long as nothing is taken."""

    taken: tuple[str, ...]
    closed: tuple[str, ...]
    free_until: datetime

    @property
    def free_in_words(self) -> str:
        return moment_in_words(self.free_until)


def in_the_way(session: RecordingSession, starts_at: datetime, ends_at: datetime) -> InTheWay:
    """Up to two queries. `session` comes from `for_list()`; one that is wrapped takes no more time."""
    if session.status not in GOES_ON or ends_at <= session.ends_at:
        return InTheWay((), (), ends_at)
    standing = {each.resource: each for each in session.reservations.all() if each.rank}
    after = {thing: timedelta(minutes=each.after_minutes) for thing, each in standing.items()}
    clashes = find_clashes(
        {
            thing: (each.ends_at, ends_at + after[thing])
            for thing, each in standing.items()
            if each.ends_at < ends_at + after[thing]
        },
        ignoring=session,
    )
    free = min((clash.starts_at - after[clash.resource] for clash in clashes), default=ends_at)
    closed = outside_hours({thing: [(session.ends_at, ends_at)] for thing in standing})
    return InTheWay(
        tuple(str(clash) for clash in clashes),
        tuple(str(each) for each in closed),
        max(free, starts_at),
    )
