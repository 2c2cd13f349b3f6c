"""Rows made of rows."""

from collections.abc import Iterable

from django.apps import apps
from django.db import connection
from django.db.models import Model


def copied(row: Model, **changed) -> Model:
    """A new one, not saved yet, like the old one but for what is changed."""
    values = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
    new = type(row)(**values | {row._meta.pk.attname: None})
    for name, value in changed.items():
        setattr(new, name, value)
    return new


def copy_all_of(model: type[Model], key: str, parents: Iterable[tuple[int, int]]) -> None:
    """What hangs on an old parent by the key, once more for each new one: pairs of primary keys."""
    field = model._meta.get_field(key)
    others = ", ".join(
        quoted(each.column)
        for each in model._meta.concrete_fields
        if each != field and not each.primary_key
    )
    table, column = model._meta.db_table, field.column
    with connection.cursor() as cursor:
        cursor.execute("CREATE TEMPORARY TABLE pair (old bigint, new bigint)")
        cursor.executemany("INSERT INTO pair VALUES (%s, %s)", parents)
        cursor.execute(
            f"INSERT INTO {table} ({column}, {others}) SELECT pair.new, {others} "  # noqa: S608
            f"FROM pair JOIN {table} ON {column} = pair.old"
        )  # names of our own
        cursor.execute("DROP TABLE pair")


def write_histories(*, by) -> None:
    """That everything without a history was made by somebody now, as if it had been typed."""
    for model in apps.get_models():
        if hasattr(model._meta, "simple_history_manager_attribute"):
            _write_history(model, by)


def _write_history(model: type[Model], by) -> None:
    history = model.history.model
    columns = ", ".join(quoted(field.column) for field in history.tracked_fields)
    made, kept = model._meta.db_table, history._meta.db_table
    key = model._meta.pk.column
    copy = (
        f"INSERT INTO {kept} ({columns}, history_date, history_type, history_user_id) "  # noqa: S608
        f"SELECT {columns}, CURRENT_TIMESTAMP, '+', %s FROM {made} "
        f"WHERE NOT EXISTS (SELECT 1 FROM {kept} WHERE {kept}.{key} = {made}.{key})"
    )  # names of our own
    with connection.cursor() as cursor:
        cursor.execute(copy, [by.pk])


def quoted(column: str) -> str:
    return connection.ops.quote_name(column)
