"""One row of every table with the oddest values that both engines keep, for what no form would let in."""

from base64 import b64encode
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal
from random import Random
from uuid import UUID

from django.db import transaction
from django.db.backends.base.operations import BaseDatabaseOperations
from django.db.models import BinaryField, Field, Model
from hypothesis import strategies as st

from studio.backups.canonical import TEXTS, WHOLE_NUMBERS, fields_of, kind_of
from studio.backups.contents import models
from studio.backups.loading import prepared

# PostgreSQL keeps neither NUL nor half of a surrogate pair: forms refuse both beside the field.
texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"))
numbers = st.integers(-(2**63), 2**63 - 1)
floats = st.floats(allow_nan=False, width=64)
documents = st.recursive(
    st.none() | st.booleans() | numbers | floats.filter(lambda x: abs(x) < 1e308) | texts,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=4),
    max_leaves=12,
)
moments = st.datetimes(
    min_value=datetime(1, 1, 3), max_value=datetime(9999, 12, 29), timezones=st.just(UTC)
)


@dataclass(frozen=True)
class Values:
    """Of each kind some; which one comes into which field follows from the seed."""

    texts: list[str]
    numbers: list[int]
    floats: list[float]
    documents: list
    moments: list[datetime]
    bytes: list[bytes]
    seed: int


def some(of):
    return st.lists(of, min_size=4, max_size=8)


values = st.builds(
    Values,
    texts=some(texts),
    numbers=some(numbers),
    floats=some(floats),
    documents=some(documents),
    moments=some(moments),
    bytes=some(st.binary(max_size=40)),
    seed=st.integers(0, 2**32),
)


def fill(connection, drawn: Values) -> None:
    """In a transaction of this connection, in which no rule and no check stands."""
    random = Random(drawn.seed)
    keys = {model: _key(model, random) for model in models()}
    with transaction.atomic(), connection.cursor() as cursor:
        for model in models():
            fields = fields_of(model)
            row = {
                column: keys[model] if field.primary_key else _value(field, keys, drawn, random)
                for column, field in fields.items()
            }
            columns = ", ".join(map(connection.ops.quote_name, fields))
            cursor.execute(f"DELETE FROM {model._meta.db_table}")
            cursor.execute(
                f"INSERT INTO {model._meta.db_table} ({columns}) "
                f"VALUES ({', '.join(['%s'] * len(fields))})",
                [prepared(field, row[column], connection) for column, field in fields.items()],
            )


def _key(model: type[Model], random: Random):
    kind = kind_of(model._meta.pk)
    return (
        str(UUID(int=random.getrandbits(128)))
        if kind == "UUIDField"
        else random.randint(1, 2**31 - 2)
    )


def _value(field: Field, keys: dict, drawn: Values, random: Random):
    """As a line of a backup would have it."""
    if field.null and random.random() < 0.2:
        return None
    if field.is_relation:
        return keys.get(field.related_model, random.randint(1, 99))
    kind = kind_of(field)
    if kind in TEXTS:
        return random.choice(drawn.texts)[: field.max_length or None]
    if kind in WHOLE_NUMBERS:
        return _within(random.choice(drawn.numbers), kind)
    if kind == "DecimalField":
        most = 10**field.max_digits - 1
        return str(Decimal(random.choice(drawn.numbers) % most).scaleb(-field.decimal_places))
    if kind == "UUIDField":
        return str(UUID(int=random.getrandbits(128)))
    if kind == "BooleanField":
        return random.random() < 0.5
    if isinstance(field, BinaryField):
        return b64encode(random.choice(drawn.bytes)).decode()
    moment = random.choice(drawn.moments)
    return {
        "DateTimeField": moment.isoformat(),
        "DateField": date.isoformat(moment.date()),
        "TimeField": time.isoformat(moment.time()),
        "FloatField": random.choice(drawn.floats),
        "JSONField": random.choice(drawn.documents),
    }[kind]


def _within(number: int, kind: str) -> int:
    least, most = BaseDatabaseOperations.integer_field_ranges[kind]
    return least + number % (most - least + 1)
