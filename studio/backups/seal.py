"""Whether the history in the database is still what it was when a backup was made."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from django.db.models import Model

from studio.backups.canonical import TEXTS, fields_of, kind_of, line, lines_of
from studio.backups.contents import models
from studio.backups.reading import Archive
from studio.erasures import Erasure

OF_WORDS = (*TEXTS, "JSONField")  # all that an erasure changes
SHOWN = 20  # faults that are told of a table
#: Within which work ends that has its numbers and is not in the backup yet: on PostgreSQL a later number
#: may be written first.
UNDER_WAY = timedelta(minutes=10)


@dataclass
class Compared:
    rows: int = 0  # of the backup
    faults: list[str] = field(default_factory=list)
    told: list[str] = field(
        default_factory=list
    )  # no faults: what was erased, what can’t be compared


def compare(archive: Archive, connection) -> Compared:
    """Each history row of the backup against the database. What came later is no fault, nor are the words
    that `erase_person` took out since, which is told; what came among the old rows is one."""
    found = Compared()
    today = {model._meta.db_table: model for model in models()}
    erased = Erasure.objects.exclude(pk__in=_erasures_of(archive)).rows()
    for table, said in sorted(archive.manifest.tables.items()):
        if not said.history:
            continue
        if table not in today:
            found.told.append(f"{table} is no table any more and was not compared.")
            continue
        found.rows += said.rows
        _compare_table(archive, today[table], connection, erased, found)
    return found


def _erasures_of(archive: Archive) -> list[int]:
    """Their keys: what those took out, the backup does not hold either."""
    table = Erasure._meta.db_table
    if table not in archive.manifest.tables:
        return []
    return [json.loads(each)["id"] for each in archive.lines(table)]


def _compare_table(archive, model: type[Model], connection, erased: dict, found: Compared) -> None:
    table, key = model._meta.db_table, model._meta.pk.column
    fields = fields_of(model)
    shared = set(archive.manifest.tables[table].columns) & set(fields)
    stays = {column for column in shared if kind_of(fields[column]) not in OF_WORDS}
    last, made_at = archive.manifest.tables[table].last or 0, _moment(archive.manifest.made_at)
    faults: list[str] = []
    for number, then, here in _side_by_side(
        _rows(archive.lines(table), key), _rows(lines_of(model, connection), key)
    ):
        if then is None:
            at = _moment(here["history_date"]) if "history_date" in here else made_at
            if number > last and at < made_at - UNDER_WAY:
                found.told.append(
                    f"{table} {number} came later and bears a date before the backup: the clock was set "
                    "back, or it was put in."
                )
            elif number <= last and abs(at - made_at) < UNDER_WAY:
                found.told.append(f"{table} {number} was written while the backup was made.")
            elif number <= last:
                faults.append(f"{table} {number} was put in since.")
        elif here is None:
            faults.append(f"{table} {number} is gone.")
        elif not _same(here, then, shared):
            if (at := erased.get((table, str(number)))) and _same(here, then, stays):
                found.told.append(f"{table} {number}: personal data was erased on {at:%Y-%m-%d}.")
            else:
                faults.append(f"{table} {number} was altered.")
    found.faults += faults[:SHOWN]
    if len(faults) > SHOWN:
        found.faults.append(f"{table}: {len(faults) - SHOWN} more.")


def _side_by_side(then: Iterator[tuple[int, dict]], here: Iterator[tuple[int, dict]]):
    """Each number with its row in the one and in the other, None where there is none; both rise."""
    nothing = (None, None)
    old, new = next(then, nothing), next(here, nothing)
    while old[0] is not None or new[0] is not None:
        number = min(each[0] for each in (old, new) if each[0] is not None)
        yield number, old[1] if old[0] == number else None, new[1] if new[0] == number else None
        old = next(then, nothing) if old[0] == number else old
        new = next(here, nothing) if new[0] == number else new


def _moment(written: str) -> datetime:
    return datetime.fromisoformat(written)


def _rows(lines: Iterator[bytes], key: str) -> Iterator[tuple[int, dict]]:
    return ((row[key], row) for row in map(json.loads, lines))


def _same(one: dict, other: dict, columns: set[str]) -> bool:
    return line({name: one[name] for name in columns}) == line(
        {name: other[name] for name in columns}
    )
