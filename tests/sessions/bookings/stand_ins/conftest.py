"""A diary of the coming week: Ulric is booked, Piran does the same, one unit is on the bench."""

from datetime import timedelta

import pytest
from django.utils import timezone

from sessions.bookings.actions import book_session
from sessions.bookings.blocks.actions import make_block
from sessions.bookings.models import BlockKind, Status
from tests.factories import PersonFactory, ProjectFactory, RoomFactory

HOUR = timedelta(hours=1)


@pytest.fixture
def day():
    """`day(10)` is 10:00 UTC in three days’ time; hours may run on into other days."""
    noon = timezone.now().replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=3)
    return lambda hour: noon + hour * HOUR


@pytest.fixture
def ulric(db):
    return PersonFactory(
        name="Ulric Yarrell",
        does="Recording engineer",
        bookable=True,
        email="ulric@quay-steps.example",
    )


@pytest.fixture
def piran(db):
    return PersonFactory(
        name="Piran Tolle",
        does="recording engineer",
        bookable=True,
        email="piran@quay-steps.example",
    )


@pytest.fixture
def book(db, manager, day):
    """`book(10, 14, people=[…])` confirms a session in a room of its own."""
    project = ProjectFactory()

    def book(start=10, end=14, **wanted):
        wanted = {"status": Status.CONFIRMED, "title": f"From {start}"} | wanted
        return book_session(
            project,
            starts_at=day(start),
            ends_at=day(end),
            rooms=wanted.pop("rooms", None) or [RoomFactory()],
            by=manager,
            **wanted,
        )

    return book


@pytest.fixture
def leave(manager, day):
    """`leave(9, 18, ulric)` is leave over whatever is booked."""

    def leave(start, end, *people, **wanted):
        wanted = {"kind": BlockKind.LEAVE, "title": "Away", "over_bookings": True} | wanted
        return make_block(
            starts_at=day(start), ends_at=day(end), people=people, by=manager, **wanted
        )

    return leave
