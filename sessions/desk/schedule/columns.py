"""Whose diary the schedule shows: rooms, people or equipment, and which of them to whom."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Model, Q

from gear.equipment.models import Unit, UnitState
from sessions.bookings.models import Reservation
from sessions.clients.models import Person
from sessions.rooms.models import Room


@dataclass(frozen=True)
class Kind:
    """One of the three views: its words, the reservation's field, what is on offer, sign and key."""

    word: str
    one: str
    field: str
    model: type[Model]
    current: Q
    sign: str
    key: str


KINDS = {
    "rooms": Kind("Rooms", "Room", "room", Room, Q(retired=False), "door-open", "r"),
    "people": Kind(
        "People", "Person", "person", Person, Q(retired=False, bookable=True), "users", "o"
    ),
    "equipment": Kind("Gear", "Unit", "unit", Unit, ~Q(state=UnitState.RETIRED), "mic", "e"),
}


def offered(kind: Kind, reserved: Iterable[int], user) -> list[Model]:
    """What can be shown: what is current, and of the rest what is reserved. One query.

    To somebody who does not see every session, only what one of theirs has reserved: names are the
    house's business.
    """
    found = kind.model.objects.filter(kind.current | Q(pk__in=list(reserved)))
    if not user.has_perm("studio_sessions.view_all_projects"):
        seen = Reservation.objects.visible_to(user).filter(**{f"{kind.field}__isnull": False})
        found = found.filter(pk__in=seen.values(kind.field))
    return list(found.for_list() if kind.model is Unit else found.order_by("name"))
