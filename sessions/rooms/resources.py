"""Rooms, people and units: what can be reserved, and where a form asks for each kind."""

from collections.abc import Iterable

from django.db.models import Model

from gear.equipment.models import Unit
from sessions.clients.models import Person
from sessions.rooms.models import Room

KINDS = {Room: "room", Person: "person", Unit: "unit"}  # the reservation's field of each


def by_kind(resources) -> dict[str, list]:
    """Rooms, people and units, sorted by the reservation's field that each belongs in."""
    sorted_out = {kind: [] for kind in KINDS.values()}
    for resource in resources:
        sorted_out[KINDS[type(resource)]].append(resource)
    return sorted_out


FIELDS = {"room": "rooms", "person": "people", "unit": "units"}  # kind -> where a form asks for it


def by_field(said: Iterable[tuple[Model, str]]) -> dict[str, list[str]]:
    """Sentences about resources, under the fields in which a form asks for them."""
    found: dict[str, list[str]] = {}
    for resource, sentence in said:
        found.setdefault(FIELDS[KINDS[type(resource)]], []).append(sentence)
    return found
