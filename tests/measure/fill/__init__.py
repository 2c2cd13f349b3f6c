"""A house full of work, made fast and under the rules that the database keeps."""

import time
from collections.abc import Iterator

from django.core.management import CommandError

from sessions.bookings.models import RecordingSession
from sessions.takes.models import Take
from tests.factories import PASSWORD
from tests.measure.fill.calendar import DAYS_TO_COME, Calendar
from tests.measure.fill.house import ROOMS, House, furnish
from tests.measure.fill.rows import write_histories
from tests.measure.fill.takes import record

TAKES_EACH = 20


def measure(sessions: int, takes: int | None) -> Iterator[str]:
    if RecordingSession.objects.exists():
        raise CommandError("There are sessions in this database: name an empty one.")
    began = time.monotonic()
    house = fill(sessions, TAKES_EACH * sessions if takes is None else takes)
    yield (
        f"{RecordingSession.objects.count():,} sessions and {Take.objects.count():,} takes "
        f"in {time.monotonic() - began:.0f} s. "
        f"Sign in as {house.manager.username}, password {PASSWORD}."
    )


def fill(sessions: int, takes: int, *, rooms: int = ROOMS) -> House:
    """A quarter of the sessions lies ahead, but no more than four weeks of them."""
    house = furnish(rooms=rooms)
    calendar = Calendar(house, days_to_come=min(DAYS_TO_COME, sessions // (8 * rooms)))
    calendar.book(sessions)
    record(house, calendar, takes)
    write_histories(by=house.manager)
    return house
