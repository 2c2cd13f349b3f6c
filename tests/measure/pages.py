"""Every list and detail page of a very large house: constant queries, and at most half the time of the
change list of Django's admin over the same rows."""

from sessions.takes.models import Take
from tests.measure.booking import vacuum
from tests.measure.fill.calendar import Calendar
from tests.measure.fill.house import House, furnish
from tests.measure.fill.rows import write_histories
from tests.measure.fill.takes import record
from tests.measure.takes import sing_elsewhere

RECORDED = 1_400  # sessions with setups; the older ones have takes alone
TAKES_EACH = 12  # of those


def grow(sessions: int, takes: int) -> House:
    """A house of so many. The last sessions are recorded through chains of their own."""
    house = furnish()
    calendar = Calendar(house)
    recorded = min(RECORDED, sessions)
    calendar.book(recorded)
    record(house, calendar, min(takes, TAKES_EACH * recorded))
    if sessions > recorded:
        later = len(calendar.projects)
        calendar.book(sessions - recorded)
        sing_elsewhere(
            calendar.projects[later:], takes - Take.objects.count(), Take.objects.first()
        )
    write_histories(by=house.manager)
    vacuum()
    return house
