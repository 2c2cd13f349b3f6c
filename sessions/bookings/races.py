"""Two people booking at once: they queue for what they both want."""

from collections.abc import Iterable

from django.db.models import Model

from gear.equipment.models import Unit
from sessions.clients.models import Person
from sessions.rooms.models import Room
from sessions.rooms.resources import by_kind


def locked(resources: Iterable[Model]) -> list[Model]:
    """The resources as they are now, kept from other bookings until the transaction ends.

    Always in the same order, so that two bookings that want the same things cannot block each
    other. SQLite lets one writer in at a time anyway and needs no lock.
    """
    wanted = by_kind(resources)
    rows = [
        Room.objects.filter(pk__in=[room.pk for room in wanted["room"]]),
        Person.objects.filter(pk__in=[person.pk for person in wanted["person"]]),
        Unit.objects.filter(pk__in=[unit.pk for unit in wanted["unit"]]).select_related("model"),
    ]
    return [
        resource
        for of_kind in rows
        for resource in of_kind.order_by("pk").select_for_update(of=("self",), no_key=True)
    ]
