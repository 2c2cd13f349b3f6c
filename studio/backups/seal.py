"""Whether the history in the database is still what it was when a backup was made."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.db.models import Model

from studio.backups.canonical import TEXTS, fields_of, kind_of, line, lines_of
from studio.backups.contents import models
from studio.backups.reading import Archive
from studio.erasures import Erasure

OF_WORDS = (*TEXTS, "JSONField")  # all that an erasure changes
SHOWN = 20  # faults that are told of a table


@dataclass
class Compared:
    rows: int = 0  # of the backup
    faults: list[str] = field(default_factory=list)
    told: list[str] = field(
        default_factory=list
    )  # no faults: what was erased, what can’t be compared


def compare(archive: Archive, connection) -> Compared:
    """Each history row of the backup against the database. What came later is no fault, nor are the words
    that `erase_person` took out since, which is told."""
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
    present = _rows(lines_of(model, connection), key)
    number, row = next(present, (None, None))
    faults = 0
    for wanted, then in _rows(archive.lines(table), key):
        while number is not None and number < wanted:
            number, row = next(present, (None, None))
        if number == wanted and _same(row, then, shared):
            continue
        at = erased.get((table, str(wanted)))
        if at and number == wanted and _same(row, then, stays):
            found.told.append(f"{table} {wanted}: personal data was erased on {at:%Y-%m-%d}.")
            continue
        faults += 1
        if faults <= SHOWN:
            what = "is gone" if number != wanted else "was altered"
            found.faults.append(f"{table} {wanted} {what}.")
    if faults > SHOWN:
        found.faults.append(f"{table}: {faults - SHOWN} more.")


def _rows(lines: Iterator[bytes], key: str) -> Iterator[tuple[int, dict]]:
    return ((row[key], row) for row in map(json.loads, lines))


def _same(one: dict, other: dict, columns: set[str]) -> bool:
    return line({name: one[name] for name in columns}) == line(
        {name: other[name] for name in columns}
    )
