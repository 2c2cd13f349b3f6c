"""Booking the units of a rebuild for a day."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time, timedelta

from django.urls import reverse
from django.utils.http import urlencode

from gear.equipment.models import Unit
from sessions.bookings.models import Reservation
from sessions.periods import midnight
from sessions.recall.models import Rebuild

STARTS, ENDS = time(10), time(18)


@dataclass(frozen=True)
class Day:
    """A day, and which of the units are taken on it, with when."""

    day: date
    taken: tuple[tuple[Unit, str], ...]
    booking_address: str
    free_address: str


def day_of(rebuild: Rebuild, units: Iterable[Unit], day: date) -> Day:
    """One query."""
    units = list(units)
    reserved = (
        Reservation.objects.of(units)
        .standing()
        .filter(rank=1)
        .overlapping(midnight(day), midnight(day) + timedelta(days=1))
        .order_by("starts_at", "pk")
    )
    by_key = {unit.pk: unit for unit in units}
    taken = [(by_key[each.unit_id], each.period_in_words) for each in reserved]
    return Day(day, tuple(taken), _booking_address(rebuild, units, day), _free_address(units))


def _booking_address(rebuild: Rebuild, units: list[Unit], day: date) -> str:
    """The booking form with the project, the units and the day filled in."""
    asked = {
        "project": rebuild.song.project_id,
        "starts": f"{day}T{STARTS:%H:%M}",
        "ends": f"{day}T{ENDS:%H:%M}",
        "unit": [unit.pk for unit in units],
    }
    return f"{reverse('bookings:create')}?{urlencode(asked, doseq=True)}"


def _free_address(units: list[Unit]) -> str:
    keys = urlencode({"units": [unit.pk for unit in units]}, doseq=True)
    return f"{reverse('free:search')}?{keys}"
