"""A house to fill: rooms with people, gear and a patch bay each, and who books them."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import time

from django.db import transaction

from gear.equipment.models import SignalLevel, Unit
from gear.panels.models import Panel
from gear.patchbay.models import PatchPoint, Side
from sessions.clients.models import Person
from sessions.rooms.models import Room, Weekday, WeeklyHours
from studio.models import User
from studio.roles import Role
from tests.factories import BayFactory, PersonFactory, RoomFactory, UnitFactory, UserFactory
from tests.measure.fill.panels import panels

ROOMS = 7  # two sessions a day in each: a week holds 98, a page of Django's admin 100
CHAINS = 4  # in a setup, each of its own part of the song
PEOPLE, UNITS = 2, 3  # that a session takes beside its room


@dataclass(frozen=True)
class Place:
    """A unit of the rack: its panel, and its jacks at the room's bay."""

    unit: Unit
    panel: Panel
    patch_in: PatchPoint | None
    patch_out: PatchPoint


@dataclass(frozen=True)
class Booth:
    """A room with the people who work in it, and the units of each chain from source to track."""

    room: Room
    people: list[Person]
    chains: list[list[Place]]

    @property
    def taken(self) -> list:
        """What every session in the room takes."""
        return [self.room, *self.people, *(chain[0].unit for chain in self.chains[:UNITS])]


@dataclass(frozen=True)
class House:
    booths: list[Booth]
    manager: User


@transaction.atomic
def furnish(*, rooms: int = ROOMS, chains: int = CHAINS) -> House:
    """An empty house. Its manager, odile, signs in with the password of the factories."""
    each = panels()
    manager = UserFactory(username="odile", role=Role.MANAGER)
    return House([_booth(number, chains, each) for number in range(rooms)], manager)


def _booth(number: int, chains: int, each: dict[str, Panel]) -> Booth:
    room = RoomFactory(name=f"Room {number + 1}")
    WeeklyHours.objects.bulk_create(
        WeeklyHours(room=room, weekday=weekday, opens=time(9), closes=time(22))
        for weekday in Weekday
    )
    people = [PersonFactory(bookable=True) for _ in range(PEOPLE)]
    bay = BayFactory(name=f"Bay {number + 1}")
    return Booth(room, people, [list(_rack(bay, chain, each)) for chain in range(1, chains + 1)])


def _rack(bay, chain: int, each: dict[str, Panel]) -> Iterator[Place]:
    """A unit of every kind; all but the first are patched in."""
    for position, (name, panel) in enumerate(each.items(), 1):
        unit = UnitFactory(
            model=panel.model,
            asset_tag=f"{name[:4].upper()}-{bay.pk}{chain:02}",
            serial_number=f"{3100 + chain}",
            home_room=f"Room {bay.pk}",
        )
        column = 10 * chain + position
        yield Place(
            unit,
            panel,
            _jack(bay, unit, "B", column, Side.RETURN) if position > 1 else None,
            _jack(bay, unit, "A", column, Side.SEND),
        )


def _jack(bay, unit: Unit, row: str, column: int, side: Side) -> PatchPoint:
    return PatchPoint.objects.create(
        bay=bay,
        row=row,
        column=column,
        label=f"{unit.asset_tag} {'in' if side == Side.RETURN else 'out'}",
        level=SignalLevel.LINE,
        side=side,
        unit=unit,
    )
