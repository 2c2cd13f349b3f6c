"""What can be done to the rest of a series in one press, and where a move leads."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from django.db.models import TextChoices
from django.utils import timezone
from django.utils.formats import time_format

from sessions.bookings.models import FIRST_STATUSES, RecordingSession, Status
from sessions.bookings.series.dates import local_period
from sessions.periods import Period, duration_in_words
from sessions.rooms.models import Weekday


class Verb(TextChoices):
    CONFIRM = "confirm", "Confirm"
    HOLD = "hold", "Hold"
    MOVE = "move", "Move"
    RELEASE = "release", "Release"
    CANCEL = "cancel", "Cancel"


# Of each verb the word for what was done, the status that it leads to (a move leads to none other),
# and those of the sessions that it can be done to.
DONE = {
    Verb.CONFIRM: "confirmed",
    Verb.HOLD: "held",
    Verb.MOVE: "moved",
    Verb.RELEASE: "released",
    Verb.CANCEL: "cancelled",
}
LEADS_TO = {
    Verb.CONFIRM: Status.CONFIRMED,
    Verb.HOLD: Status.HELD,
    Verb.RELEASE: Status.ENQUIRY,
    Verb.CANCEL: Status.CANCELLED,
}
POSSIBLE_FOR = {
    Verb.CONFIRM: {Status.ENQUIRY, Status.HELD},
    Verb.HOLD: {Status.ENQUIRY},
    Verb.MOVE: set(FIRST_STATUSES),
    Verb.RELEASE: {Status.HELD},
    Verb.CANCEL: set(FIRST_STATUSES),
}


def is_possible(verb: Verb, session: RecordingSession) -> bool:
    return session.status in POSSIBLE_FOR[verb]


@dataclass(frozen=True)
class Move:
    """Where each session goes, on the studio's clock: by days and minutes (earlier: negative), or to
    another weekday of the same week, Monday to Sunday, and another start."""

    days: int = 0
    minutes: int = 0
    weekday: int | None = None
    starts: time | None = None

    def new_period(self, session: RecordingSession) -> Period:
        """In UTC. Start and end move alike on the clock: over a clock change ten o'clock stays ten.

        Raises ValueError with a sentence for a time that the clock does not show exactly once.
        """
        start, end = (timezone.make_naive(at) for at in (session.starts_at, session.ends_at))
        new_start = self._new_start(start)
        return local_period(new_start, new_start + (end - start))

    def _new_start(self, start: datetime) -> datetime:
        start += timedelta(days=self.days, minutes=self.minutes)
        if self.weekday is not None:
            start += timedelta(days=self.weekday - start.weekday())
        return start if self.starts is None else datetime.combine(start, self.starts)

    @property
    def in_words(self) -> str:
        """ "7 days and 2 h later", "to Thursday at 18:00"."""
        if self.days or self.minutes:
            return " and ".join(self._lengths()) + (
                " later" if (self.days, self.minutes) > (0, 0) else " earlier"
            )
        day = "" if self.weekday is None else f" to {Weekday(self.weekday).label}"
        if self.starts is None:
            return day.strip()
        return f"{day} {'at' if day else 'to'} {time_format(self.starts)}".strip()

    def _lengths(self) -> Iterator[str]:
        days = abs(self.days)
        if days:
            yield f"{days} day{'' if days == 1 else 's'}"
        if self.minutes:
            yield duration_in_words(timedelta(minutes=abs(self.minutes)))


@dataclass(frozen=True)
class Change:
    """What is to be done to each of the dates. `move` is given with that verb alone; `queue_behind`
    and `all_the_same` are those of `book_session`."""

    verb: Verb
    move: Move | None = None
    queue_behind: bool = False
    all_the_same: bool = False

    def queues(self, session: RecordingSession) -> bool:
        """Whether the session may stand behind whoever has its time: as a hold, which it is or becomes."""
        return self.queue_behind and LEADS_TO.get(self.verb, session.status) == Status.HELD

    @property
    def done(self) -> str:
        """What was done, for a message: "confirmed", "moved 7 days later"."""
        return f"{DONE[self.verb]} {self.move.in_words}" if self.move else DONE[self.verb]
