"""The manager's desk in a large house against the same pages in the demo: booking form, what stands
beside it, and the schedule of rooms, with constant queries.

The house is the demo's, grown by units, people and years of sessions in its rooms: what the schedule
shows stays as it was, so that all that a page costs more is finding it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from time import perf_counter, process_time

from django.db import connection, transaction
from django.urls import reverse
from django.utils import timezone

from gear.equipment.models import Unit
from sessions.clients.models import Person, Project
from sessions.rooms.models import Room
from studio.demo.command import fill
from studio.models import User
from tests.factories import PersonFactory, UnitFactory
from tests.measure.asking import page, queries
from tests.measure.booking import vacuum
from tests.measure.fill.calendar import Calendar
from tests.measure.fill.house import Booth, House, Place
from tests.measure.timing import Ratio, interleaved, passed

COST = 1.5  # times the page of the demo
LONG_AGO = -400  # days from today: the demo's own sessions lie later
TAKEN = 3  # units that a session takes


@dataclass(frozen=True)
class Asked:
    """How many queries a page needs in the demo and in the large house: as many."""

    what: str
    demo: int
    large: int

    @property
    def holds(self) -> bool:
        return self.demo == self.large

    def __str__(self) -> str:
        return f"{self.what}: {self.demo} queries, {self.large} in the large house  {passed(self.holds)}"


def measure(sessions: int, units: int, people: int, rounds: int) -> Iterator[Ratio | Asked]:
    fill()
    # On SQLite all of the work is this process's: what else the machine does is no part of it.
    clock = process_time if connection.vendor == "sqlite" else perf_counter
    pages = desk_pages()
    interleaved(pages, 2)
    demo, asked = interleaved(pages, rounds, clock), counted(pages)
    grow(sessions=sessions, units=units, people=people)
    vacuum()
    large = counted(pages)
    interleaved(pages, 2)
    times = interleaved(pages, rounds, clock)
    said = f"{Unit.objects.count()} units, {sessions:,} sessions more"
    for name in pages:
        both = {name: times[name], f"{name} of the demo": demo[name]}
        yield Ratio.of(both, name, f"{name} of the demo", COST, said)
    for name in pages:
        yield Asked(name, asked[name], large[name])


def desk_pages() -> dict[str, Callable[[], None]]:
    """What is opened while somebody is on the phone."""
    manager, room = User.objects.get(username="odile"), Room.objects.current().first()
    day = (timezone.localdate() + timedelta(days=5)).isoformat()
    form = {"room": str(room.pk), "starts": f"{day}T10:00"}
    filled = {
        "project": str(Project.objects.earliest("pk").pk),
        "rooms": str(room.pk),
        "starts_at": f"{day}T10:00",
        "ends_at": f"{day}T18:00",
        "status": "held",
    }
    return {
        "booking form": page(manager, reverse("bookings:create"), "Book a session", **form),
        "beside the form": page(manager, reverse("bookings:live"), "data-states", **filled),
        **{
            f"schedule, {span}": page(manager, reverse(f"schedule:{span}"), str(room), day=day)
            for span in ("day", "week", "month")
        },
    }


def counted(pages: dict[str, Callable[[], None]]) -> dict[str, int]:
    return {name: len(queries(build)) for name, build in pages.items()}


@transaction.atomic
def grow(*, sessions: int, units: int, people: int) -> None:
    """Up to so many units and bookable people, and so many more sessions, all of them over."""
    for _ in range(units - Unit.objects.count()):
        UnitFactory()
    for _ in range(people - Person.objects.bookable().count()):
        PersonFactory(bookable=True)
    calendar = Calendar(_house(), days_to_come=LONG_AGO)
    calendar.book(sessions)


def _house() -> House:
    """The rooms that there are, each with two people and three units of its own."""
    rooms = list(Room.objects.current())
    people = list(Person.objects.bookable().order_by("-pk"))
    units = list(Unit.objects.in_service().select_related("model").order_by("-pk"))
    booths = [
        Booth(
            room,
            [people.pop(), people.pop()],
            [[Place(units.pop(), None, None, None)] for _ in range(TAKEN)],
        )
        for room in rooms
    ]
    return House(booths, User.objects.get(username="odile"))
