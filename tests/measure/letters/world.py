"""A small studio in which much wants the same time, and who can be told by whom."""

import random
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from uuid import UUID

from django.utils import timezone

from gear.equipment.models import Unit
from sessions.bookings.models import RecordingSession, Reservation
from sessions.clients.models import Person, Project
from sessions.ical.names import name_of
from sessions.rooms.models import HouseRules, Room, Studio
from studio.models import User
from studio.roles import Role
from tests.factories import (
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
    UserFactory,
)
from tests.itip_reader import Entry

SENDER = "desk@quay-steps.example"
REASON = "Sprained wrist"  # must stand in no letter


@dataclass(frozen=True)
class World:
    """`also_client` comes under one address as client and as somebody who is booked."""

    rooms: list[Room]
    people: list[Person]  # can be booked
    players: list[Person]  # are credited only
    units: list[Unit]
    projects: list[Project]
    users: list[User]  # two managers, and an engineer who can be booked
    day: datetime  # its midnight, UTC: the first on which there are sessions
    house: UUID  # which the names of its events are made of

    @classmethod
    def make(cls) -> "World":
        studio = Studio.to_edit()
        studio.sender = SENDER
        studio.save()
        ulric = UserFactory(username="ulric", role=Role.ENGINEER)
        names = ["ulric", "piran", "kerensa", "odd"]
        return cls(
            rooms=[RoomFactory(name=name) for name in ("Rope Floor", "Bread Room")],
            people=[
                PersonFactory(
                    name=name.title(),
                    email=f"{name}@quay-steps.example",
                    bookable=True,
                    user=ulric if name == "ulric" else None,
                )
                for name in names
            ],
            players=[
                PersonFactory(name=f"Player {number}", email=f"player-{number}@brass.example")
                for number in range(3)
            ]
            + [PersonFactory(name="Nobody’s address", email="")],
            units=UnitFactory.create_batch(4),
            projects=[
                ProjectFactory(client=ClientFactory(email=email))
                for email in (
                    "band@windlass.example",
                    "office@thole.example",
                    "Odd@quay-steps.example",
                    "",
                )
            ],
            users=[
                UserFactory(username="odile", role=Role.MANAGER, email="odile@quay-steps.example"),
                UserFactory(username="wenna", role=Role.MANAGER, email="wenna@quay-steps.example"),
                ulric,
            ],
            day=datetime.combine(timezone.now().date(), time(), UTC) + timedelta(days=5),
            house=HouseRules.current().calendar_namespace,
        )

    def period(self, chance: random.Random) -> tuple[datetime, datetime]:
        """Some hours of one of six days, so that much is wanted twice."""
        starts_at = self.day + timedelta(days=chance.randrange(6), hours=chance.randrange(7, 20))
        return starts_at, starts_at + timedelta(hours=chance.randrange(2, 9))


def schedule() -> dict[str, dict[str, Entry]]:
    """By address and UID what a calendar must say, read from the tables alone: of all that takes time,
    for its client, for whoever is booked and for whoever is credited, but for those who are missing."""
    house = HouseRules.current().calendar_namespace
    calendars: dict[str, dict[str, Entry]] = {}
    sessions = RecordingSession.objects.select_related("project__client")
    for session in sessions.prefetch_related("reservations__room", "reservations__person"):
        if session.status in {"enquiry", "cancelled"}:
            continue
        reserved = [each for each in session.reservations.all() if not each.missing]
        rooms = sorted(each.room.name for each in reserved if each.room_id)
        entry = Entry(
            uid=name_of(session, house),
            starts=session.starts_at,
            ends=session.ends_at,
            status="TENTATIVE" if session.status == "held" else "CONFIRMED",
            summary=f"{session.title}: {session.project.artist}",
            location=", ".join([*rooms, "Quay Steps Studio"]),
        )
        people = [each.person for each in reserved if each.person_id]
        away = {each.person_id for each in session.reservations.all() if each.missing}
        credits = session.credits.exclude(person__in=away).select_related("person")
        people += [credit.person for credit in credits]
        addresses = {session.project.client.email, *(person.email for person in people)} - {""}
        for address in addresses:
            calendars.setdefault(address.lower(), {})[entry.uid] = entry
    return calendars


def all_of(session: RecordingSession) -> tuple:
    """Everything about a session that anybody may be told. What leaves it as it was is no news."""
    reservations = Reservation.objects.filter(session=session).order_by("pk")
    facts = (
        RecordingSession.objects.filter(pk=session.pk).values_list(
            "title", "starts_at", "ends_at", "status", "lapsed_at", "project"
        ),
        reservations.values_list(
            "room", "person", "unit", "starts_at", "ends_at", "rank", "missing"
        ),
        session.credits.order_by("person", "role").values_list("person", "role", "instrument"),
        session.worked_hours.order_by("starts_at").values_list("kind", "starts_at", "ends_at"),
        session.challenges.order_by("pk").values_list("pk", "outcome", "deadline"),
        session.challenges_made.order_by("pk").values_list("pk", "outcome", "deadline"),
    )
    return tuple(tuple(rows) for rows in facts)
