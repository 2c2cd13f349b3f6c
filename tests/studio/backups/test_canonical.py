"""Times are those of RFC 3339 (5.6, by UTC), bytes those of RFC 4648 (4), each line is JSON (RFC 8259)."""

import json
from base64 import b64encode
from datetime import UTC, date, datetime, time, timedelta, timezone
from decimal import Decimal
from uuid import UUID

import pytest
from django.db import models

from studio.backups.canonical import document, fields_of, line, read, writer_of
from studio.backups.contents import LEFT_OUT, is_history
from studio.backups.contents import models as held

DATABASES_OWN_DIGITS = 15  # that SQLite keeps of a decimal, as a double (IEEE 754)


@pytest.mark.parametrize(
    ("field", "value", "written"),
    [
        (models.CharField(max_length=9), "Oakum ’ \U0001f399", "Oakum ’ \U0001f399"),
        (models.BooleanField(), True, True),
        (models.PositiveBigIntegerField(), 2**62, 2**62),
        (models.DecimalField(max_digits=9, decimal_places=2), Decimal("1.5"), "1.50"),
        (models.DecimalField(max_digits=9, decimal_places=2), Decimal("-0.00"), "0.00"),
        (models.BinaryField(), b"\0\xff", b64encode(b"\0\xff").decode()),
        (models.FloatField(), -0.0, 0.0),
        (models.FloatField(), float("-inf"), "-inf"),
        (models.DateField(), date(812, 3, 4), "0812-03-04"),
        (models.TimeField(), time(9, 30), "09:30:00.000000"),
        (models.UUIDField(), UUID(int=5), "00000000-0000-0000-0000-000000000005"),
        (
            models.DateTimeField(),
            datetime(2026, 3, 29, 2, 30, tzinfo=timezone(timedelta(hours=2))),
            "2026-03-29T00:30:00.000000Z",
        ),
        (
            models.DateTimeField(),
            datetime(2026, 10, 25, 1, 30, 0, 7, tzinfo=UTC),
            "2026-10-25T01:30:00.000007Z",
        ),
        (models.JSONField(), {"b": [1.0, 2], "a": None}, {"a": None, "b": [1.0, 2]}),
    ],
)
def test_value_is_written_in_one_form_and_read_back(field, value, written):
    said = writer_of(field)(value)

    assert str(said) == str(written) or said == written
    assert read(field, json.loads(json.dumps(said))) == value


def test_line_has_one_form_whatever_it_holds():
    odd = "\u2028\x7f\t\ud800"  # ends of lines that are none, and half of a surrogate pair

    assert line({"b": odd, "a": 1}) == b'{"a":1,"b":"\\u2028\\u007f\\t\\ud800"}\n'
    assert json.loads(line({"text": odd})) == {"text": odd}


@pytest.mark.parametrize(
    ("number", "written"),
    [(1.0, "1.0"), (0.1, "0.1"), (-0.0, "0.0"), (1e-7, "1e-07"), (9007199254740993, None)]
    # As PostgreSQL gives them back: the digits of the shortest text, and zeros.
    + [(1e22, "10000000000000000000000"), (1.5e300, "15" + "0" * 299)],
)
def test_number_of_a_document_has_one_form(number, written):
    assert json.dumps(document(number)) == (written or str(number))


def test_every_field_of_every_table_can_be_written():
    for model in held():
        for field in fields_of(model).values():
            writer_of(field)


def test_no_decimal_has_more_digits_than_sqlite_keeps():
    decimals = [
        field
        for model in held()
        for field in fields_of(model).values()
        if isinstance(field, models.DecimalField)
    ]
    assert decimals
    assert all(field.max_digits <= DATABASES_OWN_DIGITS for field in decimals)


def test_nothing_points_to_what_is_left_out():
    pointed_to = {
        field.related_model._meta.label_lower
        for model in held()
        for field in fields_of(model).values()
        if field.is_relation
    }
    assert not pointed_to & set(LEFT_OUT)


def test_what_is_left_out_is_there_and_said_why():
    from django.apps import apps

    for label, why in LEFT_OUT.items():
        assert apps.get_model(label)
        assert why


def test_histories_are_those_of_the_registry():
    from simple_history.models import HistoricalChanges

    named = {model._meta.db_table for model in held() if is_history(model)}

    assert named >= {
        model._meta.db_table for model in held() if issubclass(model, HistoricalChanges)
    }
    assert len(named) > 60
