"""When Quay Steps is open, who is away, and a lockout with its planned hours."""

from datetime import datetime, time, timedelta

from sessions.bookings.actions import book_session
from sessions.bookings.blocks.actions import make_block
from sessions.bookings.models import BlockKind, Status, WorkedHours
from sessions.bookings.padding import Padding
from sessions.bookings.worked_hours import write_hours
from sessions.rooms.actions import set_hours
from sessions.rooms.models import Weekday

WORKDAYS = [day for day in Weekday if day != Weekday.SUNDAY]


def keep_house(work, midnight: datetime) -> None:
    """Call after the sessions are booked: they were made before anybody asked about hours."""
    rooms, piran = (work.rope_floor, work.bread_room), work.people["piran"]
    _lockout(work, midnight + timedelta(days=10))
    for room in rooms:
        _open(room, WORKDAYS, time(9), time(23), work.manager)
    _open(piran, WORKDAYS[:-1], time(10), time(19), work.manager)
    tuning = midnight + timedelta(days=3)
    make_block(
        kind=BlockKind.MAINTENANCE,
        title="Piano tuning",
        starts_at=tuning + timedelta(hours=9),
        ends_at=tuning + timedelta(hours=13),
        rooms=[work.rope_floor],
        note="Kettle to be kept off its circuit.",
        by=work.manager,
    )
    make_block(
        kind=BlockKind.LEAVE,
        title="A week by the sea",
        starts_at=midnight + timedelta(days=14),
        ends_at=midnight + timedelta(days=21),
        people=[piran],
        by=work.manager,
    )


def _open(resource, days, opens: time, closes: time, by) -> None:
    hours = [(day.value, opens, closes) for day in days]
    set_hours(resource, hours=hours, version=resource.version, by=by)


def _lockout(work, day: datetime) -> None:
    session = book_session(
        work.projects["readings"],
        title="Readings, the long night",
        starts_at=day + timedelta(hours=10),
        ends_at=day + timedelta(days=2, hours=20),
        status=Status.CONFIRMED,
        rooms=[work.bread_room],
        people=[work.people["ulric"]],
        lockout=True,
        padding={work.bread_room: Padding(60, 30)},
        by=work.manager,
    )
    for number, (starts, ends) in enumerate([(10, 18), (16, 24), (12, 20)]):
        write_hours(
            session,
            kind=WorkedHours.Kind.PLANNED,
            starts_at=day + timedelta(days=number, hours=starts),
            ends_at=day + timedelta(days=number, hours=ends),
            by=work.manager,
        )
