"""What SQLite kept and PostgreSQL refuses: told before anything is written, each with its place."""

import json
from collections.abc import Iterator

from django.db.models import Field

from studio.backups.canonical import TEXTS, WHOLE_NUMBERS, fields_of, kind_of
from studio.backups.reading import Archive

MOST = 20  # that are told at once


def misfits(archive: Archive, models: list, connection) -> Iterator[str]:
    """One sentence for each value that the database of this connection would refuse."""
    if connection.vendor == "sqlite":
        return
    for model in models:
        table = model._meta.db_table
        checks = [
            (column, _check_of(field, connection)) for column, field in fields_of(model).items()
        ]
        for line in archive.lines(table):
            row = json.loads(line)
            for column, why_not in checks:
                if row.get(column) is not None and (why := why_not(row[column])):
                    yield f"{table}, {_key(model, row)}, {column}: {why}."


def _key(model, row) -> str:
    return f"{model._meta.pk.column} {row[model._meta.pk.column]}"


def _check_of(field: Field, connection):
    kind = kind_of(field)
    if kind in TEXTS:
        return lambda value: _text(value, getattr(field, "max_length", None))
    if kind in WHOLE_NUMBERS:
        least, most = connection.ops.integer_field_range(kind)
        return lambda value: None if least <= value <= most else f"{value} is out of range"
    if kind == "DecimalField":
        digits = field.max_digits
        return lambda value: _digits(value, digits)
    if kind == "JSONField":
        return lambda value: next(_in_document(value), None)
    return lambda value: None


def _text(value: str, longest: int | None) -> str | None:
    if "\0" in value:
        return "it holds the sign NUL"
    if longest and len(value) > longest:
        return f"{len(value)} letters, where {longest} fit"
    return _half_a_sign(value)


def _half_a_sign(value: str) -> str | None:
    try:
        value.encode()
    except UnicodeEncodeError:
        return "it holds half of a sign"
    return None


def _digits(value: str, most: int) -> str | None:
    digits = sum(sign.isdigit() for sign in value.lstrip("-0."))
    return f"{value} has more than {most} digits" if digits > most else None


def _in_document(value) -> Iterator[str]:
    if isinstance(value, str):
        if why := _text(value, None):
            yield why
    elif isinstance(value, dict):
        for key, each in value.items():
            yield from _in_document(key)
            yield from _in_document(each)
    elif isinstance(value, list):
        for each in value:
            yield from _in_document(each)
