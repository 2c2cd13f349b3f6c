"""A row as one line of JSON, the same on both engines for the same content.

Members by name in ASCII order; times in UTC with microseconds and a Z, decimals as text with all their
places, bytes as base64, what is no number (infinite) as text. Everything beyond ASCII is escaped, so that
a line can be written whatever a text holds, also half of a surrogate pair in a JSON document.
"""

import json
import math
from base64 import b64decode, b64encode
from collections.abc import Iterator
from datetime import UTC, date, datetime, time
from decimal import Decimal
from uuid import UUID

from django.db.models import Field, Model

CHUNK = 2000  # rows that are read at once
#: From here on Python writes floats with an exponent, and PostgreSQL's documents as whole numbers.
WITH_EXPONENT = 1e16


def line(row: dict) -> bytes:
    said = json.dumps(row, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return said.encode("ascii") + b"\n"


def fields_of(model: type[Model]) -> dict[str, Field]:
    """By their columns."""
    return {field.column: field for field in model._meta.local_concrete_fields}


def lines_of(model: type[Model], connection) -> Iterator[bytes]:
    """Of all rows, by primary key."""
    columns = fields_of(model)
    writers = [(column, writer_of(field)) for column, field in columns.items()]
    for row in _rows(model, [field.attname for field in columns.values()], connection):
        yield line(
            {
                column: None if value is None else write(value)
                for (column, write), value in zip(writers, row, strict=True)
            }
        )


def _rows(model, names, connection) -> Iterator:
    """By the very connection, whose transaction holds one moment still; a few at a time."""
    query = model._base_manager.order_by("pk").values_list(*names).query
    compiler = query.get_compiler(connection=connection)
    return compiler.results_iter(chunked_fetch=True, chunk_size=CHUNK)


def kind_of(field: Field) -> str:
    """Its type, or that of what it points to."""
    while field.is_relation:
        field = field.target_field
    return field.get_internal_type()


def writer_of(field: Field):
    """What makes of a value, as Django reads it, what stands in the line. KeyError for a type that
    nobody has thought of yet."""
    if kind_of(field) == "DecimalField":
        return _decimal(field.decimal_places)
    if kind_of(field) == "JSONField" and field.encoder:
        return lambda value: document(json.loads(json.dumps(value, cls=field.encoder)))
    return WRITTEN[kind_of(field)]


def read(field: Field, value):
    """The value as Django has it, of what stands in the line."""
    return value if value is None else READ.get(kind_of(field), _as_it_is)(value)


def _as_it_is(value):
    return value


def _decimal(places: int):
    def write(value: Decimal) -> str:
        return f"{value + 0:.{places}f}"  # never "-0.00"

    return write


def _moment(value: datetime) -> str:
    return value.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def _float(value: float) -> float | str:
    """SQLite knows no negative zero."""
    return value + 0.0 if math.isfinite(value) else str(value)


def document(value):
    """A JSON document, with each number in one form: PostgreSQL keeps them as decimals, without a
    negative zero."""
    if isinstance(value, float):
        return int(Decimal(repr(value))) if abs(value) >= WITH_EXPONENT else value + 0.0
    if isinstance(value, list | tuple):
        return [document(each) for each in value]
    if isinstance(value, dict):
        return {key: document(each) for key, each in value.items()}
    return value


WHOLE_NUMBERS = (
    *("AutoField", "BigAutoField", "IntegerField", "BigIntegerField", "SmallIntegerField"),
    *("PositiveIntegerField", "PositiveSmallIntegerField", "PositiveBigIntegerField"),
)
TEXTS = ("CharField", "TextField", "SlugField", "FileField", "GenericIPAddressField")
WRITTEN = dict.fromkeys((*WHOLE_NUMBERS, *TEXTS, "BooleanField"), _as_it_is) | {
    "BinaryField": lambda value: b64encode(value).decode(),
    "DateField": date.isoformat,
    "DateTimeField": _moment,
    "FloatField": _float,
    "JSONField": document,
    "TimeField": lambda value: value.isoformat(timespec="microseconds"),
    "UUIDField": str,
}
READ = {
    "BinaryField": b64decode,
    "DateField": date.fromisoformat,
    "DateTimeField": datetime.fromisoformat,
    "DecimalField": Decimal,
    "FloatField": float,
    "TimeField": time.fromisoformat,
    "UUIDField": UUID,
}
