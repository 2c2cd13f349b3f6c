"""What the racers fight for, and what the table must look like afterwards."""

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta

from django.db import connection
from django.utils import timezone

from gear.equipment.models import Category, GearModel, Unit
from sessions import constraints
from sessions.bookings.models import Reservation
from sessions.clients.models import Client, Person, Project
from sessions.rooms.models import Room
from studio.bench.web import PASSWORD
from studio.models import User
from studio.roles import Role


@dataclass(frozen=True)
class Prize:
    """Two rooms, two people and two units that everybody wants on the same day."""

    rooms: list[Room]
    people: list[Person]
    units: list[Unit]
    project: Project
    manager: User
    day: datetime  # its midnight, UTC

    @classmethod
    def put_up(cls) -> "Prize":
        model = GearModel.objects.create(
            maker="Tidewell", name="Prize", category=Category.PREAMPLIFIER
        )
        client = Client.objects.create(name="Pier Records")
        Project.objects.create(client=client, name="Low Water", artist="The Capstans")
        User.objects.create_user(username="maren", password=PASSWORD, role=Role.MANAGER)
        for number in (1, 2):
            Room.objects.create(name=f"Room {number}")
            Person.objects.create(name=f"Orla Quill {number}", bookable=True)
            Unit.objects.create(model=model, asset_tag=f"HL-{number:04}")
        return cls.found()

    @classmethod
    def found(cls) -> "Prize":
        return cls(
            rooms=list(Room.objects.order_by("pk")),
            people=list(Person.objects.order_by("pk")),
            units=list(Unit.objects.order_by("pk").select_related("model")),
            project=Project.objects.get(),
            manager=User.objects.get(),
            day=datetime.combine(timezone.now().date(), time(), UTC) + timedelta(days=7),
        )


def standing() -> dict[int, int]:
    """By the key of each session that has a place in line: how many things it has one for."""
    counts: dict[int, int] = {}
    for key in Reservation.objects.standing().values_list("session", flat=True):
        counts[key] = counts.get(key, 0) + 1
    return counts


def overlaps() -> int:
    """Pairs of reservations of one thing and one rank that share time: there must be none."""
    return sum(_count(OVERLAPPING.format(kind=kind)) for kind in constraints.RESOURCES)


def gaps() -> int:
    """Reservations with nobody right before them in line: there must be none."""
    return sum(_count(WITHOUT_ONE_BEFORE.format(kind=kind)) for kind in constraints.RESOURCES)


OVERLAPPING = f"""
    SELECT COUNT(*) FROM {constraints.RESERVATION} a JOIN {constraints.RESERVATION} b
    ON a.{{kind}}_id = b.{{kind}}_id AND a.rank = b.rank AND a.id < b.id
    AND a.starts_at < b.ends_at AND b.starts_at < a.ends_at
"""  # noqa: S608 (names of our own)
WITHOUT_ONE_BEFORE = f"""
    SELECT COUNT(*) FROM {constraints.RESERVATION} a WHERE a.{{kind}}_id IS NOT NULL AND a.rank > 1
    AND NOT EXISTS (SELECT 1 FROM {constraints.RESERVATION} b WHERE a.{{kind}}_id = b.{{kind}}_id
    AND b.rank = a.rank - 1 AND a.starts_at < b.ends_at AND b.starts_at < a.ends_at)
"""  # noqa: S608


def _count(query: str) -> int:
    with connection.cursor() as cursor:
        cursor.execute(query)
        return cursor.fetchone()[0]
