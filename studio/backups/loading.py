"""The rows of a backup come into empty tables, just as they were: nothing runs when they are saved."""

import json
from hashlib import sha256
from itertools import islice

from django.core.exceptions import ValidationError
from django.db.models import Field, Model

from studio.backups.canonical import fields_of, kind_of, lines_of, read
from studio.backups.contents import OF_MIGRATE
from studio.backups.manifest import Manifest
from studio.backups.numbers import go_on_after
from studio.backups.reading import Archive

AT_ONCE = 500  # rows


class NotAsBackedUp(Exception):
    """The database gives something else than was put in; the text says of which table."""


def what_it_holds(models: list[type[Model]], connection) -> dict[str, int]:
    """How many rows by table, but for those that `migrate` itself writes."""
    counts = {}
    with connection.cursor() as cursor:
        for model in models:
            if model._meta.label_lower not in OF_MIGRATE:
                cursor.execute(f"SELECT COUNT(*) FROM {model._meta.db_table}")
                [count] = cursor.fetchone()
                counts[model._meta.db_table] = count
    return {table: count for table, count in counts.items() if count}


def load(archive: Archive, models: list[type[Model]], connection) -> None:
    """Load all tables, and see that the database gives back what was put into it. In a transaction in
    which no rule stands; foreign keys are checked at its end, so the order of rows does not matter."""
    with connection.cursor() as cursor:
        for model in models:
            cursor.execute(f"DELETE FROM {model._meta.db_table}")
        for model in models:
            _load_table(archive, model, connection, cursor)
    for model in models:
        go_on_after(model, archive.manifest.tables[model._meta.db_table].last, connection)
        _compare(archive.manifest, model, connection)
    connection.check_constraints()


def _load_table(archive: Archive, model: type[Model], connection, cursor) -> None:
    table, fields = model._meta.db_table, fields_of(model)
    if sorted(fields) != archive.manifest.tables[table].columns:
        raise NotAsBackedUp(f"The columns of {table} are others than those of the backup.")
    quote = connection.ops.quote_name
    columns = ", ".join(map(quote, fields))
    into = f"INSERT INTO {quote(table)} ({columns}) VALUES ({', '.join(['%s'] * len(fields))})"
    rows = (
        [prepared(field, row[column], connection) for column, field in fields.items()]
        for row in map(json.loads, archive.lines(table))
    )
    try:
        while some := list(islice(rows, AT_ONCE)):
            cursor.executemany(into, some)
    except (KeyError, TypeError, ValueError, ArithmeticError, ValidationError) as error:
        raise NotAsBackedUp(f"A row of {table} can’t be read: {error}.") from error


def prepared(field: Field, value, connection):
    """As the database takes it, of what stands in a line."""
    if value is None and kind_of(field) == "JSONField" and not field.null:
        return connection.ops.adapt_json_value(None, None)  # a document that is null
    return field.get_db_prep_save(read(field, value), connection)


def _compare(manifest: Manifest, model: type[Model], connection) -> None:
    summed = sha256()
    for line in lines_of(model, connection):
        summed.update(line)
    table = model._meta.db_table
    if summed.hexdigest() != manifest.tables[table].sha256:
        raise NotAsBackedUp(f"{table} holds other rows than the backup.")
