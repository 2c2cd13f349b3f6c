"""Periods and bookings by the hours of one day, so that a test reads like a diary."""

from datetime import timedelta

from sessions.bookings.actions import book_session
from sessions.bookings.models import Status
from tests.factories import TEN_O_CLOCK, ProjectFactory, RoomFactory

HOUR = timedelta(hours=1)
MIDNIGHT = TEN_O_CLOCK.replace(hour=0)


def hours(start: float, end: float):
    """`hours(10, 14)` is 10:00 to 14:00 UTC on the first of June 2026."""
    return MIDNIGHT + start * HOUR, MIDNIGHT + end * HOUR


def booked(by, *, status=Status.HELD, start=10, end=14, **wanted):
    starts_at, ends_at = hours(start, end)
    wanted = {"title": "Overdubs"} | wanted
    return book_session(
        wanted.pop("project", None) or ProjectFactory(),
        starts_at=starts_at,
        ends_at=ends_at,
        rooms=wanted.pop("rooms", None) or [RoomFactory()],
        status=status,
        by=by,
        **wanted,
    )


def ranks(session):
    return [each.rank for each in session.reservations.order_by("pk")]
