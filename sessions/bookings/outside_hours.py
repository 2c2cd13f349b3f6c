"""Time that is wanted while a room is closed or a person off work."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Model
from django.utils import timezone
from django.utils.formats import date_format

from sessions.bookings.clashes import BookingRefused
from sessions.periods import Period, period_in_words
from sessions.rooms.hours import hours_in_words, hours_of, left_over, open_periods
from sessions.rooms.models import Room, WeeklyHours
from sessions.rooms.resources import by_field


@dataclass(frozen=True)
class OutsideHours:
    """A room that is closed, or a person who is off work, for a part of the time that is wanted."""

    resource: Model
    starts_at: datetime
    ends_at: datetime
    hours: str

    def __str__(self) -> str:
        """What is outside, the time in the studio's zone, and what the hours of that day are."""
        closed = "closed" if isinstance(self.resource, Room) else "off"
        period = period_in_words(self.starts_at, self.ends_at)
        return f"{self.resource} is {closed}: {period} ({self.hours})."


class OutsideHoursError(BookingRefused):
    """Something is wanted outside its hours. `outside` says what and when; it may be booked all the
    same by whoever says so."""

    def __init__(self, outside: list[OutsideHours]):
        self.outside = outside
        ticked = "Tick “Book anyway” if that is intended."
        super().__init__(by_field((each.resource, f"{each} {ticked}") for each in outside))


def refuse_outside_hours(wanted: Mapping[Model, Iterable[Period]]) -> None:
    """Raises OutsideHoursError if any room or person is wanted outside its hours. One query."""
    if outside := outside_hours(wanted):
        raise OutsideHoursError(outside)


def outside_hours(wanted: Mapping[Model, Iterable[Period]]) -> list[OutsideHours]:
    """The parts of the wanted periods in which a room is closed or a person off work. One query.

    Units have no hours; a room or person without any is there at all hours.
    """
    hours = hours_of(wanted)
    return [
        OutsideHours(resource, *part, _hours_on_the_day_of(part, hours[resource]))
        for resource, periods in wanted.items()
        if hours[resource]
        for period in periods
        for part in left_over(period, open_periods(hours[resource], *period))
    ]


def _hours_on_the_day_of(part: Period, hours: list[WeeklyHours]) -> str:
    """ "Monday 10:00 to 22:00", "not on Sunday"."""
    day = timezone.localtime(part[0]).date()
    that_day = [row for row in hours if row.weekday == day.weekday()]
    name = date_format(day, "l")
    return f"{name} {hours_in_words(that_day)}" if that_day else f"not on {name}"
