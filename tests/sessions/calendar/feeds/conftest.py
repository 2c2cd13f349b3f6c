from datetime import date, datetime

import pytest
import time_machine
from icalendar import Calendar

from sessions.calendar.feeds.contents import feed_file
from sessions.calendar.feeds.models import FeedAddress
from tests.factories import TEN_O_CLOCK, RoomFactory


@pytest.fixture
def room():
    return RoomFactory(name="Rope Floor")


@pytest.fixture
def feed(room, manager):
    return FeedAddress.make(by=manager, room=room)[0]


@pytest.fixture
def read():
    """`read(feed)` is the feed as an independent reader (icalendar) understands it."""

    def reading(feed, now: datetime | date = TEN_O_CLOCK) -> Calendar:
        return Calendar.from_ical(feed_file(feed, now=now))

    return reading


@pytest.fixture
def time_machine_to():
    """`with time_machine_to(later):` the clock stands still there."""

    def standing_at(instant: datetime):
        return time_machine.travel(instant, tick=False)

    return standing_at
