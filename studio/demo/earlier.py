"""What was booked and worked in the months before: it fills the reports and the lists."""

from datetime import timedelta

from sessions.bookings.actions import set_status
from sessions.bookings.models import Status
from studio.demo.days import as_of, at

# Days from today, from, to, project, title, room, people
_WRAPPED = [
    (-101, 10, 18, "radio", "Serial, table read", "bread_room", ["piran"]),
    (-87, 10, 18, "radio", "Episode 1, voices", "bread_room", ["piran"]),
    (-80, 10, 18, "radio", "Episode 1, pick-ups", "bread_room", ["piran"]),
    (-66, 11, 19, "film", "1m1, strings", "rope_floor", ["ulric", "piran"]),
    (-65, 11, 19, "film", "1m4 and 2m2, strings", "rope_floor", ["ulric", "piran"]),
    (-52, 10, 18, "radio", "Episode 2, voices", "bread_room", ["piran"]),
    (-38, 14, 20, "choir", "Carols, with organ", "rope_floor", ["ulric", "piran"]),
    (-31, 18, 22, "ep", "Songs played through", "bread_room", ["ulric"]),
    (-24, 10, 18, "radio", "Episode 3, voices", "bread_room", ["piran"]),
    (-17, 14, 20, "choir", "Carols, unaccompanied", "rope_floor", ["ulric", "piran"]),
]


def earlier_sessions(work) -> None:
    for days, opens, closes, project, title, room, people in _WRAPPED:
        starts_at = at(days, opens)
        with as_of(starts_at - timedelta(days=21)):
            session = work.book(
                project,
                title,
                starts_at,
                at(days, closes),
                Status.CONFIRMED,
                getattr(work, room),
                people=people,
            )
        with as_of(starts_at):
            set_status(session, to=Status.UNDER_WAY, by=work.engineer)
        with as_of(at(days, closes)):
            set_status(session, to=Status.WRAPPED, by=work.engineer)
    _called_off(work)


def _called_off(work) -> None:
    """Snow on the line: the chorus master will ring the afternoon before (see `money.py`)."""
    starts_at = at(-4, 14)
    with as_of(starts_at - timedelta(days=20)):
        work.book(
            "choir",
            "Carols, repairs",
            starts_at,
            at(-4, 20),
            Status.CONFIRMED,
            work.rope_floor,
        )
