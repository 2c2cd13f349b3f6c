"""A house full of work, made fast and under the rules that the database keeps."""

from tests.measure.filling.calendar import DAYS_TO_COME, Calendar
from tests.measure.filling.house import ROOMS, House, furnish
from tests.measure.filling.rows import write_histories
from tests.measure.filling.takes import record


def fill(sessions: int, takes: int) -> House:
    """A quarter of the sessions lies ahead, but no more than four weeks of them."""
    house = furnish()
    calendar = Calendar(house, days_to_come=min(DAYS_TO_COME, sessions // (8 * ROOMS)))
    calendar.book(sessions)
    record(house, calendar, takes)
    write_histories(by=house.manager)
    return house
