"""How like one room, person or unit is to another, in the words of a page."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from django.db.models import Model

from gear.equipment.models import Unit
from sessions.bookings.models import Credit, CreditRole
from sessions.clients.models import Person

Part = tuple[str, str]  # the role and the instrument of a credit


class Likeness(NamedTuple):
    """`order` sorts the likest first; what `fits` is chosen unless somebody chooses otherwise."""

    order: int
    how: str
    fits: bool


@dataclass(frozen=True)
class Roles:
    """What people have done here: how often, by their key."""

    done: Mapping[int, Counter[Part]]

    @classmethod
    def of(cls, people: Iterable[Person]) -> "Roles":
        """One query, where there are any."""
        keys = {each.pk for each in people}
        done: dict[int, Counter[Part]] = {key: Counter() for key in keys}
        credits = (
            Credit.objects.filter(person__in=keys).order_by() if keys else Credit.objects.none()
        )
        for key, role, instrument in credits.values_list("person", "role", "instrument"):
            done[key][role, instrument.lower()] += 1
        return cls(done)

    def shared(self, one: Person, other: Person) -> tuple[CreditRole, int] | None:
        """The role in which the other has been credited most often of those that the first had."""
        parts = self.done[one.pk].keys() & self.done[other.pk].keys()
        if not parts:
            return None
        part = max(parts, key=lambda each: (self.done[other.pk][each], each))
        return CreditRole(part[0]), self.done[other.pk][part]


def likeness(old: Model, new: Model, roles: Roles) -> Likeness | None:
    """None where the one could not stand in for the other. Units are loaded with their models."""
    if isinstance(old, Unit):
        return _of_units(old, new)
    if isinstance(old, Person):
        return _of_people(old, new, roles)
    return Likeness(1, "another room", False)


def _of_units(old: Unit, new: Unit) -> Likeness | None:
    """A model of the same kind may differ in all that matters, so a person chooses it."""
    if old.model_id == new.model_id:
        return Likeness(0, "same model", True)
    if old.model.category != new.model.category:
        return None
    kind = new.model.get_transducer_display() or new.model.get_category_display()
    alike = old.model.transducer == new.model.transducer
    return Likeness(1 if alike else 2, f"another model, {kind.lower()}", False)


def _of_people(old: Person, new: Person, roles: Roles) -> Likeness | None:
    ours, theirs = _words(old.does), _words(new.does)
    if ours and ours == theirs:
        return Likeness(0, f"same role, {new.does.lower()}", True)
    if shared := roles.shared(old, new):
        role, times = shared
        return Likeness(1, f"{role.label.lower()} at {times} session{'s'[: times > 1]}", True)
    if set(ours) & set(theirs):
        return Likeness(2, new.does.lower(), False)
    return None


def _words(does: str) -> Collection[str]:
    return does.lower().replace(",", " ").split()
