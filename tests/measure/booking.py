"""The clash check and the schedule at several sizes, held against what they are compared with."""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from django.db import connection
from django.urls import reverse

from sessions.bookings.clashes import find_clashes
from sessions.bookings.models import Reservation
from tests.measure.asking import bare, page, queries
from tests.measure.fill.calendar import Calendar
from tests.measure.fill.house import furnish
from tests.measure.timing import Ratio, Works, interleaved

CHECK_COST, WEEK_COST = 3, 2
CHECKS = 6  # for each time that a page is built
HOURS = {"free": (19, 21), "taken": (10, 12)}  # UTC, of a day on which every room has sessions


def measure(sizes: Sequence[int], rounds: int) -> Iterator[Ratio]:
    """One house, which grows into the past; what is measured lies a week before its last day."""
    calendar = Calendar(furnish())
    for size in sorted(sizes):
        calendar.book(size - calendar.count)
        vacuum()
        checks, pages = clash_checks(calendar), schedule_pages(calendar)
        times = interleaved(checks, rounds * CHECKS) | interleaved(pages, rounds)
        said = f"{size:,} sessions"
        for hours in HOURS:
            yield Ratio.of(times, f"clash check, {hours}", f"bare SQL, {hours}", CHECK_COST, said)
            yield Ratio.of(times, f"bare SQL, {hours}", "one row by its key", None, said)
        yield Ratio.of(times, "schedule week", "admin change list", WEEK_COST, said)


def clash_checks(calendar: Calendar) -> Works:
    """The clash check for a room, two people and three units, at a free and at a taken time, and
    beside each the bare SQL.

    Bare is what the check sends, over the same connection, with its values ready: it fetches the
    same columns of the same rows and makes nothing of them. What the check costs more is putting
    the question and making the answers.
    """
    works = {"one row by its key": bare(queries(Reservation.objects.first))}
    day = calendar.last_day - timedelta(weeks=1)
    for name, hours in HOURS.items():
        check = _check(calendar.house.booths[0].taken, *(day + timedelta(hours=h) for h in hours))
        if bool(check()) != (name == "taken"):
            raise RuntimeError(f"The time that should be {name} is not.")
        works |= {f"clash check, {name}": check, f"bare SQL, {name}": bare(queries(check))}
    return works


def _check(wanted, starts_at, ends_at):
    return lambda: find_clashes(dict.fromkeys(wanted, (starts_at, ends_at)))


def schedule_pages(calendar: Calendar) -> Works:
    """The schedule's page of a full week of rooms, and the change list of Django's admin over the
    same sessions, each built whole for the same person."""
    manager = calendar.house.manager
    day = (calendar.last_day - timedelta(weeks=1)).date().isoformat()
    admin = reverse("admin:studio_sessions_recordingsession_changelist")
    return {
        "schedule week": page(manager, reverse("schedule:week"), "Group vocals", day=day),
        "admin change list": page(manager, admin, "Group vocals"),
    }


def vacuum() -> None:
    """As PostgreSQL does by itself after a while; SQLite is left as the studio leaves it."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("VACUUM ANALYZE")
