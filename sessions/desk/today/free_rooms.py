"""What is free of each room today and tomorrow, for whoever answers the telephone."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode

from sessions.bookings.free.search import FORWARDS, common, free_times
from sessions.calendar.schedule.days import ONE_DAY, hours_on, period_of
from sessions.periods import comes_twice, typed
from sessions.rooms.models import Room

SHORTEST = timedelta(hours=1)  # of free time that is worth offering


@dataclass(frozen=True)
class FreePeriod:
    words: str
    booking: str  # the address of the form with room and time; empty where a form cannot say when


@dataclass(frozen=True)
class FreeRoom:
    room: Room
    today: list[FreePeriod]
    tomorrow: list[FreePeriod]


def free_rooms(now: datetime) -> list[FreeRoom]:
    """Every room in service with its open time that nobody has in first place, from the next
    quarter hour on. Three queries."""
    today = timezone.localdate(now)
    rooms = list(Room.objects.current())
    free = free_times(rooms, FORWARDS.quarter(now), period_of(today, 2)[1])
    return [
        FreeRoom(room, *(_on(day, room, free[room]) for day in (today, today + ONE_DAY)))
        for room in rooms
    ]


def _on(day: date, room: Room, free: list[tuple[datetime, datetime]]) -> list[FreePeriod]:
    return [
        FreePeriod(hours_on(day, starts_at, ends_at), _booking(room, starts_at))
        for starts_at, ends_at in common(free, [period_of(day)])
        if ends_at - starts_at >= SHORTEST
    ]


def _booking(room: Room, starts_at: datetime) -> str:
    if comes_twice(starts_at):
        return ""
    wanted = urlencode({"room": room.pk, "starts": typed(starts_at)})
    return f"{reverse('bookings:create')}?{wanted}"
