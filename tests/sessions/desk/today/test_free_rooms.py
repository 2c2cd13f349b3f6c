from datetime import UTC, datetime, time

import pytest
import time_machine
from django.urls import reverse

from sessions.desk.today.free_rooms import free_rooms
from sessions.rooms.models import Weekday, WeeklyHours
from tests.factories import ReservationFactory, RoomFactory

pytestmark = pytest.mark.django_db


def opened(room, opens, closes):
    for day in Weekday:
        WeeklyHours.objects.create(room=room, weekday=day, opens=opens, closes=closes)
    return room


def words(periods):
    return [period.words for period in periods]


def test_open_time_that_nobody_has_is_offered_from_the_next_quarter_hour_on():
    room = opened(RoomFactory(), time(10), time(22))
    taken = {"starts_at": datetime(2026, 6, 1, 15, tzinfo=UTC)}  # 16:00 there
    taken["ends_at"] = datetime(2026, 6, 1, 17, tzinfo=UTC)
    ReservationFactory(room=room, **taken)

    [free] = free_rooms(datetime(2026, 6, 1, 12, 20, tzinfo=UTC))

    assert words(free.today) == ["13:30 to 16:00", "18:00 to 22:00"]
    assert words(free.tomorrow) == ["10:00 to 22:00"]
    assert free.today[0].booking == (
        f"{reverse('bookings:create')}?room={room.pk}&starts=2026-06-01T13%3A30"
    )


def test_second_holds_leave_time_free_and_less_than_an_hour_is_not_offered():
    room = opened(RoomFactory(), time(10), time(12))
    ReservationFactory(
        room=room,
        rank=2,
        starts_at=datetime(2026, 6, 2, 9, tzinfo=UTC),
        ends_at=datetime(2026, 6, 2, 11, tzinfo=UTC),
    )

    [free] = free_rooms(datetime(2026, 6, 1, 10, 20, tzinfo=UTC))  # 11:20 there

    assert (words(free.today), words(free.tomorrow)) == ([], ["10:00 to 12:00"])


def test_night_on_which_the_clocks_change_has_its_own_hours():
    """Directive 2000/84/EC: on 25 October 2026 the clocks go back at 01:00 UTC."""
    opened(RoomFactory(), time(0), time(3))

    [free] = free_rooms(datetime(2026, 10, 24, 20, tzinfo=UTC))

    assert words(free.tomorrow) == ["00:00 BST to 03:00 GMT"]
    assert free.tomorrow[0].booking  # midnight there comes once
    with time_machine.travel(datetime(2026, 10, 25, 0, 30, tzinfo=UTC)):  # 01:30, the first time
        [free] = free_rooms(datetime(2026, 10, 25, 0, 30, tzinfo=UTC))
    assert words(free.today) == ["01:30 BST to 03:00 GMT"]
    assert free.today[0].booking == ""  # a form could not say which 01:30 is meant


@pytest.mark.parametrize("rows", [1, 3])
def test_any_number_of_rooms_costs_three_queries(rows, django_assert_num_queries):
    for _ in range(rows):
        ReservationFactory(room=opened(RoomFactory(), time(10), time(22)))

    with django_assert_num_queries(3):
        assert len(free_rooms(datetime(2026, 6, 1, tzinfo=UTC))) == rows
