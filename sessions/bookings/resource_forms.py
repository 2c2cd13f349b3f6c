"""Rooms, people and units, as the forms that reserve them offer them."""

from collections.abc import Callable, Iterable

from django import forms
from django.db.models import Model

from gear.equipment.models import Category, Unit, UnitState
from sessions.bookings.models import Reservation
from sessions.clients.models import Person
from sessions.editing.picking import PickSeveral
from sessions.rooms.models import Room
from sessions.rooms.resources import FIELDS


class SeveralField(forms.ModelMultipleChoiceField):
    widget = PickSeveral

    def __init__(self, queryset, **kwargs):
        super().__init__(queryset, required=False, **kwargs)


class ResourcesForm(forms.Form):
    """What a session or a block takes. Call `offer_resources` once the rest of the form is made."""

    unit_states = (UnitState.IN_SERVICE,)
    rooms = SeveralField(Room.objects.all())
    people = SeveralField(Person.objects.select_related("client"))
    units = SeveralField(Unit.objects.for_choices(), label="Gear")

    def start_from(self, reservations: Iterable[Reservation]) -> None:
        for kind, field in FIELDS.items():
            keys = [getattr(reservation, f"{kind}_id") for reservation in reservations]
            self.initial[field] = [key for key in keys if key]

    def offer_resources(self):
        """Offer what can be booked, and keep what is chosen on the list whatever became of it.

        Any of the house's is valid here, so that an action can say why it cannot be booked.
        """
        rooms = self._offered("rooms", lambda room: not room.retired)
        people = self._offered("people", lambda person: person.bookable and not person.retired)
        units = self._offered("units", lambda unit: unit.state in self.unit_states)
        self.offered: list[Model] = [*rooms, *people, *units]
        self.fields["rooms"].choices = _choices(rooms)
        of_clients = grouped(people, lambda person: str(person.client or "Studio and freelancers"))
        # The house’s own need no heading where nobody else is listed.
        self.fields["people"].choices = of_clients if len(of_clients) > 1 else _choices(people)
        self.fields["units"].choices = grouped(
            units, lambda unit: Category(unit.model.category).label
        )

    def _offered(self, name: str, can_be_booked: Callable[[Model], bool]) -> list[Model]:
        chosen = {str(getattr(key, "pk", key)) for key in self[name].value() or []}
        return [
            resource
            for resource in self.fields[name].queryset
            if can_be_booked(resource) or str(resource.pk) in chosen
        ]


def _choices(things: Iterable[Model]) -> list[tuple]:
    return [(str(thing.pk), str(thing)) for thing in things]


def grouped(things: Iterable[Model], group_of: Callable[[Model], str]) -> list[tuple]:
    """Choices under the names of their groups, both in the order in which they come."""
    groups: dict[str, list] = {}
    for thing in things:
        groups.setdefault(group_of(thing), []).append(thing)
    return [(name, _choices(members)) for name, members in groups.items()]
