"""Four Mondays, 11:00 to 15:00 by the studio's clock, in one room with one person and one unit."""

import pytest

from sessions.bookings.actions import book_session
from sessions.bookings.models import Status
from sessions.bookings.padding import Padding
from sessions.bookings.series.actions import book_series
from sessions.bookings.series.dates import dates_by_rule
from sessions.bookings.series.rules import Rule
from sessions.letters.models import Letter, LetterState
from tests.factories import ClientFactory, PersonFactory, ProjectFactory, RoomFactory, UnitFactory
from tests.sessions.bookings.days import booked, hours

CLIENT, ENGINEER = "vestry@ford.example", "wynn@ford.example"
WEEKLY = Rule.parse("FREQ=WEEKLY;COUNT=4")


@pytest.fixture(autouse=True)
def _in_spring(time_machine):
    time_machine.move_to(hours(-1000, 0)[0])


@pytest.fixture
def bread_room(db):
    return RoomFactory(name="Bread Room")


@pytest.fixture
def series_of(manager, bread_room):
    def book(status=Status.HELD, **wanted):
        starts_at, ends_at = hours(10, 14)
        first = book_session(
            ProjectFactory(client=ClientFactory(email=CLIENT)),
            title="Brass",
            starts_at=starts_at,
            ends_at=ends_at,
            status=status,
            rooms=[bread_room],
            people=[PersonFactory(bookable=True, email=ENGINEER)],
            units=[UnitFactory()],
            padding={bread_room: Padding(30, 0)},
            by=manager,
            **wanted,
        )
        dates = [date.key for date in dates_by_rule(first, WEEKLY, [])]
        series = book_series(first, rule=WEEKLY, chosen=dates, status=status, by=manager)
        Letter.objects.update(state=LetterState.SENT)
        return series

    return book


@pytest.fixture
def other(manager, bread_room):
    """Another session in the same room, so many days later and at these hours UTC."""

    def book(days, start=12, end=16, **wanted):
        wanted = {"title": "Other", "status": Status.CONFIRMED, "rooms": [bread_room]} | wanted
        return booked(manager, start=24 * days + start, end=24 * days + end, **wanted)

    return book
