"""A house full of sessions: every room has two a day, for as many days as it takes."""

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta

from django.db import connection, transaction
from django.utils import timezone

from gear.equipment.models import Category, GearModel, Unit
from sessions.bookings.models import RecordingSession, Reservation, Status
from sessions.clients.models import Client, Person, Project
from sessions.rooms.models import Room, Weekday, WeeklyHours
from studio.models import User
from studio.roles import Role

ROOMS = 7  # two a day in each: a week holds 98 sessions, a page of Django's admin 100
PEOPLE_EACH, UNITS_EACH = 2, 3  # that a session takes beside its room
A_DAY = 2 * ROOMS
DAYS_TO_COME = 28
PROJECTS = 40
AT_ONCE = 500


@dataclass(frozen=True)
class House:
    """What can be booked, who books it, and the last day that has sessions."""

    rooms: list[Room]
    people: list[Person]
    units: list[Unit]
    projects: list[Project]
    manager: User
    last_day: datetime  # its midnight, UTC

    def taken_by(self, room: int) -> list:
        """What every session in a room takes: so many people and units belong to each room."""
        people = self.people[PEOPLE_EACH * room : PEOPLE_EACH * (room + 1)]
        units = self.units[UNITS_EACH * room : UNITS_EACH * (room + 1)]
        return [self.rooms[room], *people, *units]


def furnished() -> House:
    """An empty house: rooms with opening hours, people, equipment, projects and a manager."""
    rooms = [Room.objects.create(name=f"Room {number}") for number in range(ROOMS)]
    WeeklyHours.objects.bulk_create(
        WeeklyHours(room=room, weekday=weekday, opens=time(9), closes=time(22))
        for room in rooms
        for weekday in Weekday
    )
    model = GearModel.objects.create(
        maker="Tidewell", name="Bench", category=Category.PREAMPLIFIER, warm_up_minutes=0
    )
    client = Client.objects.create(name="Pier Records")
    return House(
        rooms=rooms,
        people=[
            Person.objects.create(name=f"Orla Quill {number}", bookable=True)
            for number in range(ROOMS * PEOPLE_EACH)
        ],
        units=[
            Unit.objects.create(model=model, asset_tag=f"HL-{number:04}")
            for number in range(ROOMS * UNITS_EACH)
        ],
        projects=[
            Project.objects.create(client=client, name=f"Low Water {number}", artist="The Capstans")
            for number in range(PROJECTS)
        ],
        manager=User.objects.create_user(username="maren", role=Role.MANAGER),
        last_day=datetime.combine(timezone.now().date(), time(), UTC)
        + timedelta(days=DAYS_TO_COME),
    )


@transaction.atomic
def fill(house: House, count: int) -> None:
    """Put on record so many sessions with all that they take, the last day first, backwards.

    The rules of the database look at every reservation as it is written.
    """
    for first in range(0, count, AT_ONCE):
        numbers = range(first, min(first + AT_ONCE, count))
        sessions = RecordingSession.objects.bulk_create(_session(house, n) for n in numbers)
        Reservation.objects.bulk_create(
            [
                Reservation(
                    **{type(resource).__name__.lower(): resource},
                    session=session,
                    starts_at=session.starts_at,
                    ends_at=session.ends_at,
                    rank=1,
                )
                for number, session in zip(numbers, sessions, strict=True)
                for resource in house.taken_by(number % ROOMS)
            ],
            batch_size=AT_ONCE,
        )


def vacuumed() -> None:
    """As PostgreSQL does by itself after a while; SQLite is left as the studio leaves it."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("VACUUM ANALYZE")


def _session(house: House, number: int) -> RecordingSession:
    """14:00 to 18:00 and 9:00 to 13:00 UTC: the later one of a day has the lower number."""
    day, slot = divmod(number, A_DAY)
    hour = 14 if slot < ROOMS else 9
    starts_at = house.last_day - timedelta(days=day) + timedelta(hours=hour)
    return RecordingSession(
        project=house.projects[number % PROJECTS],
        title=f"Group vocals {number}",
        starts_at=starts_at,
        ends_at=starts_at + timedelta(hours=4),
        status=Status.CONFIRMED if number % 3 else Status.HELD,
    )
