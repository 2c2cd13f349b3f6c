"""Takes by the hundred thousand: rows like one that was logged, written by the database itself."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from typing import NamedTuple

from django.db import connection, transaction
from django.db.models import Model

from sessions.takes.models import Take
from tests.measure.fill.rows import quoted


class Logged(NamedTuple):
    """One take of one part."""

    song: int
    session: int
    part: int
    number: int
    at: datetime


def logged(song, session, part, *, count: int, first: int = 1) -> Iterator[Logged]:
    """So many one after the other, half a minute apart."""
    for n in range(count):
        at = session.starts_at + timedelta(seconds=30 * n)
        yield Logged(song.pk, session.pk, part.pk, first + n, at)


@transaction.atomic
def log_many(like: Take, takes: Iterable[Logged]) -> None:
    """Each like that one, its marks and what it was recorded through included."""
    part, through = like.take_parts.get(), like.through.get()
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE TEMPORARY TABLE logged (song bigint, session bigint, part bigint, "
            f"number integer, at {_type_of(Take, 'logged_at')})"
        )
        cursor.executemany("INSERT INTO logged VALUES (%s, %s, %s, %s, %s)", takes)
        each = {"song": "logged.song", "session": "logged.session", "number": "logged.number"}
        moments = dict.fromkeys(("logged_at", "started_at", "ended_at"), "logged.at")
        _write_like(cursor, like, each | moments, "logged")
        made = (
            f"logged JOIN {Take._meta.db_table} made "
            "ON made.song_id = logged.song AND made.number = logged.number"
        )
        _write_like(cursor, part, {"take": "made.id", "part": "logged.part"}, made)
        _write_like(cursor, through, {"take": "made.id"}, made)
        cursor.execute("DROP TABLE logged")


def _write_like(cursor, row: Model, given: dict[str, str], source: str) -> None:
    """Copies of the row, one for each of the source, with what is given of it."""
    names, values = [], []
    for field in row._meta.concrete_fields:
        if not field.primary_key:
            column = quoted(field.column)
            names.append(column)
            values.append(given.get(field.name, f"model.{column}"))
    table = row._meta.db_table
    cursor.execute(
        f"INSERT INTO {table} ({', '.join(names)}) SELECT {', '.join(values)} "  # noqa: S608
        f"FROM {source} JOIN {table} model ON model.id = %s",  # names of our own
        [row.pk],
    )


def _type_of(model: type[Model], name: str) -> str:
    return model._meta.get_field(name).db_type(connection)
