"""When the studio is open, who is away, and a lockout with its planned hours."""

from datetime import time

from sessions.bookings.actions import book_session
from sessions.bookings.blocks.actions import make_block
from sessions.bookings.models import BlockKind, Status, WorkedHours
from sessions.bookings.padding import Padding
from sessions.bookings.telling import telling
from sessions.bookings.worked_hours import write_hours
from sessions.rooms.actions import set_hours
from sessions.rooms.models import Weekday
from studio.demo.days import as_of, at


def keep_house(work) -> None:
    """Call after the sessions are booked: they were made before anybody asked about hours."""
    with as_of(at(-3, 10)), telling(by=work.manager):  # one letter for all of it
        _lockout(work)
    for room in (work.rope_floor, work.bread_room):
        _open(room, list(Weekday), time(8), time(22), work.manager)
    piran = work.people["piran"]
    _open(piran, [day for day in Weekday if day != Weekday.MONDAY], time(9), time(21), work.manager)
    make_block(
        kind=BlockKind.MAINTENANCE,
        title="Beam and rigging inspection",
        starts_at=at(2, 9),
        ends_at=at(2, 12),
        rooms=[work.rope_floor],
        note="Nothing hangs from the tie beam meanwhile.",
        by=work.manager,
    )
    make_block(
        kind=BlockKind.LEAVE,
        title="Away with the lifeboat crew",
        starts_at=at(18, 0),
        ends_at=at(22, 0),
        people=[piran],
        by=work.manager,
    )


def _open(resource, days, opens: time, closes: time, by) -> None:
    hours = [(day.value, opens, closes) for day in days]
    set_hours(resource, hours=hours, version=resource.version, by=by)


def _lockout(work) -> None:
    """Three days of carols: the choir leaves its folders where they lie."""
    session = book_session(
        work.projects["choir"],
        title="Carols, three days",
        starts_at=at(13, 9),
        ends_at=at(15, 18),
        status=Status.CONFIRMED,
        rooms=[work.rope_floor],
        people=[work.people["ulric"]],
        lockout=True,
        padding={work.rope_floor: Padding(90, 45)},
        by=work.manager,
    )
    for day, starts, ends in [(13, 11, 19), (14, 10, 20), (15, 9, 15)]:
        write_hours(
            session,
            kind=WorkedHours.Kind.PLANNED,
            starts_at=at(day, starts),
            ends_at=at(day, ends),
            by=work.manager,
        )
