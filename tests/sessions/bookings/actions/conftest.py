import pytest

from sessions.bookings.actions import book_session, change_session
from sessions.bookings.models import Status
from tests.factories import ProjectFactory, RoomFactory
from tests.sessions.bookings.days import hours


@pytest.fixture
def room(db):
    return RoomFactory()


@pytest.fixture
def book(room, manager):
    """`book(10, 14)` holds the room from 10:00 to 14:00 UTC; keywords change anything."""
    project = ProjectFactory()

    def book(start, end, **wanted):
        wanted = {"rooms": [room], "status": Status.HELD, "title": f"From {start}"} | wanted
        starts_at, ends_at = hours(start, end)
        period = {"starts_at": starts_at, "ends_at": ends_at}
        return book_session(project, by=manager, **(period | wanted))

    return book


@pytest.fixture
def change(manager):
    """`change(session, ends_at=…)` with all the rest as it is."""

    def change(session, **changed):
        kept = {
            field: [
                getattr(each, kind)
                for each in session.reservations.all()
                if getattr(each, kind) is not None
            ]
            for kind, field in {"room": "rooms", "person": "people", "unit": "units"}.items()
        }
        for name in ("version", "project", "title", "starts_at", "ends_at", "note"):
            kept[name] = getattr(session, name)
        return change_session(session, by=manager, **(kept | changed))

    return change
