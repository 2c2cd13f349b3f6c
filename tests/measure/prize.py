"""What the writers fight for, and what the table must look like afterwards."""

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta

from django.db.models import Count, Exists, F, OuterRef, Window
from django.db.models.functions import Lead
from django.utils import timezone

from gear.equipment.models import Unit
from sessions.bookings.models import Reservation
from sessions.clients.models import Person, Project
from sessions.rooms.models import Room
from sessions.rooms.resources import KINDS
from studio.models import User
from studio.roles import Role
from tests.factories import (
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
    UserFactory,
)


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
        return cls(
            rooms=RoomFactory.create_batch(2),
            people=PersonFactory.create_batch(2, bookable=True),
            units=UnitFactory.create_batch(2),
            project=ProjectFactory(),
            manager=UserFactory(username="odile", role=Role.MANAGER),
            day=datetime.combine(timezone.now().date(), time(), UTC) + timedelta(days=7),
        )


def standing() -> dict[int, int]:
    """By the key of each session that has a rank: how many things it has one for."""
    sessions = Reservation.objects.standing().values_list("session")
    return dict(sessions.annotate(Count("pk")).order_by())


def overlaps() -> int:
    """Reservations that run into the next of the same thing and rank: there must be none."""
    return sum(
        Reservation.objects.filter(**{f"{kind}__isnull": False, "rank__isnull": False})
        .annotate(next=Window(Lead("starts_at"), partition_by=[kind, "rank"], order_by="starts_at"))
        .filter(next__lt=F("ends_at"))
        .count()
        for kind in KINDS.values()
    )


def gaps() -> int:
    """Reservations with nobody right before them in line: there must be none."""
    return sum(
        Reservation.objects.filter(
            ~Exists(
                Reservation.objects.filter(
                    **{kind: OuterRef(kind)},
                    rank=OuterRef("rank") - 1,
                    starts_at__lt=OuterRef("ends_at"),
                    ends_at__gt=OuterRef("starts_at"),
                )
            ),
            **{f"{kind}__isnull": False, "rank__gt": 1},
        ).count()
        for kind in KINDS.values()
    )
