"""Rows made of rows."""

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


def write_histories(*, by) -> None:
    """That everything without a history was made by somebody now, as if it had been typed."""
    for model in apps.get_models():
        if hasattr(model._meta, "simple_history_manager_attribute"):
            _write_history(model, by)


def _write_history(model: type[Model], by) -> None:
    history = model.history.model
    columns = ", ".join(connection.ops.quote_name(field.column) for field in history.tracked_fields)
    made, kept = model._meta.db_table, history._meta.db_table
    key = model._meta.pk.column
    copy = (
        f"INSERT INTO {kept} ({columns}, history_date, history_type, history_user_id) "  # noqa: S608
        f"SELECT {columns}, CURRENT_TIMESTAMP, '+', %s FROM {made} "
        f"WHERE NOT EXISTS (SELECT 1 FROM {kept} WHERE {kept}.{key} = {made}.{key})"
    )  # names of our own
    with connection.cursor() as cursor:
        cursor.execute(copy, [by.pk])
