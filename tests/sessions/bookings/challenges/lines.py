"""Holds that stand behind each other, as the tests of challenges want them."""

from datetime import UTC, datetime

import time_machine

from sessions.bookings.models import Status
from tests.factories import RoomFactory
from tests.sessions.bookings.days import booked

ASKED = datetime(2026, 5, 20, 9, tzinfo=UTC)  # well before the first of June, when all of them are


def at(moment):
    return time_machine.travel(moment, tick=False)


def line_of_holds(by, *titles, room=None, **wanted):
    """One hold behind the other for one room, in the order of the titles."""
    room = room or RoomFactory(name="Bread Room")
    return [
        booked(by, title=title, rooms=[room], status=Status.HELD, queue_behind=True, **wanted)
        for title in titles
    ]


def standings(*sessions):
    for session in sessions:
        session.refresh_from_db()
    return [session.standing for session in sessions]
