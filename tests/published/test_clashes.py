"""Clashes and ranks against a calendar library and a ranking of scipy."""

from datetime import UTC, datetime

import pytest
import recurring_ical_events
from icalendar import Calendar, Event
from scipy import stats

from sessions.bookings.actions import set_status
from sessions.bookings.clashes import find_clashes
from sessions.bookings.models import Status
from tests.factories import RoomFactory
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db

BOOKED = (10, 14)
WANTED = [(8, 10), (8, 10.25), (8, 16), (10, 14), (11, 12), (13.75, 14), (13.75, 15), (14, 16)]
WANTED += [(16, 17), (9, 14), (10, 10.25)]


def calendar_with(starts_at: datetime, ends_at: datetime) -> Calendar:
    calendar, event = Calendar(), Event()
    event.add("uid", "b0a7")
    event.add("dtstamp", datetime(2026, 1, 1, tzinfo=UTC))
    event.add("dtstart", starts_at)
    event.add("dtend", ends_at)
    calendar.add_component(event)
    return calendar


@pytest.mark.parametrize("wanted", WANTED)
def test_what_clashes_is_what_a_calendar_shows_in_that_time(manager, wanted):
    """RFC 5545, 3.6.1: the end is not part of the event. recurring-ical-events tells which events of a
    calendar fall into a period."""
    room = RoomFactory()
    booked(manager, start=BOOKED[0], end=BOOKED[1], rooms=[room])

    clashes = find_clashes({room: hours(*wanted)})

    shown = recurring_ical_events.of(calendar_with(*hours(*BOOKED))).between(*hours(*wanted))
    assert len(clashes) == len(shown)


def test_holds_of_one_time_rank_as_scipy_ranks_their_arrival(manager):
    """Ordinal ranks, ties by arrival, from one up; and again without the one that is given up."""
    room = RoomFactory()
    holds = [booked(manager, rooms=[room], queue_behind=True) for _ in range(5)]
    given_up = holds[2]

    assert ranks_of(holds) == arrived(holds)
    set_status(given_up, to=Status.CANCELLED, by=manager)

    left = [hold for hold in holds if hold != given_up]
    assert ranks_of(left) == arrived(left)


def ranks_of(holds) -> list[int]:
    return [hold.reservations.get().rank for hold in holds]


def arrived(holds) -> list[int]:
    return list(stats.rankdata([hold.pk for hold in holds], method="ordinal"))
