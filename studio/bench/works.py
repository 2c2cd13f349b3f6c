"""What is measured, each by its name: a thing of ours, and what it is compared with."""

from collections.abc import Callable
from contextlib import nullcontext
from datetime import timedelta

from django.db import connection, transaction
from django.test import RequestFactory
from django.urls import resolve, reverse

from sessions.bookings.clashes import find_clashes
from studio.bench.filling import House

Works = dict[str, Callable[[], object]]
WEEKS_BACK = 1  # from the last day that has sessions; the years of them lie before it
HOURS = {"free": (19, 21), "taken": (10, 12)}  # UTC, of a day on which every room has sessions


def clash_checks(house: House) -> tuple[Works, dict[str, list[str]]]:
    """The clash check for a room, two people and three units, at a free and at a taken time, and
    beside each the bare SQL; and that SQL.

    Bare is the same search through the indexes, over the same connection, with the values ready for
    it: it fetches the same columns of the same rows and makes nothing of them. What the check costs
    more is putting the question and making the answers.
    """
    works, sql = {}, {}
    for name, hours in HOURS.items():
        day = house.last_day - timedelta(weeks=WEEKS_BACK)
        check = _check(house.taken_by(0), *(day + timedelta(hours=hour) for hour in hours))
        asked = queries(check)
        works |= {f"clash check, {name}": check, f"bare SQL, {name}": bare(asked)}
        sql[name] = [statement for statement, _ in asked]
        if bool(check()) != (name == "taken"):
            raise RuntimeError(f"The time that should be {name} is not.")
    return works, sql


def pages(house: House) -> Works:
    """The schedule's page of a full week of rooms, and the change list of Django's admin over the
    same sessions, each built whole for the same person."""
    week, admin = (
        reverse("schedule:week"),
        reverse("admin:studio_sessions_recordingsession_changelist"),
    )
    day = (house.last_day - timedelta(weeks=WEEKS_BACK)).date().isoformat()
    return {
        "schedule week": page(house, week, b"Group vocals", day=day),
        "admin change list": page(house, admin, b"Group vocals"),
    }


def queries(work: Callable[[], object]) -> list[tuple[str, object]]:
    """The statements that the work sends, each with its values."""
    sent = []

    def note(execute, statement, values, many, context):
        sent.append((statement, values))
        return execute(statement, values, many, context)

    with connection.execute_wrapper(note):
        work()
    return sent


def _check(wanted, starts_at, ends_at) -> Callable[[], object]:
    return lambda: find_clashes(wanted, starts_at, ends_at)


def bare(asked: list[tuple[str, object]], *, in_transaction: bool = False) -> Callable[[], object]:
    """The same statements again over the same connection, and all rows that they give."""
    of_data = [each for each in asked if not each[0].startswith(("BEGIN", "SAVEPOINT", "RELEASE"))]

    def ask() -> None:
        with transaction.atomic() if in_transaction else nullcontext():
            for statement, values in of_data:
                with connection.cursor() as cursor:
                    cursor.execute(statement, values)
                    if cursor.description:
                        cursor.fetchall()

    return ask


def page(house: House, address: str, shows: bytes, **query: str) -> Callable[[], object]:
    """The page built whole, which must show those words."""
    found = resolve(address)

    def build():
        request = RequestFactory().get(address, query)
        request.user, request.session = house.manager, {}
        answer = found.func(request, **found.kwargs)
        return answer.render() if hasattr(answer, "render") else answer

    if shows not in build().content:
        raise RuntimeError(f"{address} does not show {shows.decode()}.")
    return build
