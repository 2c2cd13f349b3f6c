"""The highest number that each table ever gave as a key: what was deleted never comes back under the
number of something else, of which the history tells another story."""

from django.db.models import AutoField, Model


def last_number(model: type[Model], connection) -> int | None:
    """None where keys are no numbers, or none was given yet."""
    key = model._meta.pk
    if not isinstance(key, AutoField):
        return None
    table = model._meta.db_table
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT seq FROM sqlite_sequence WHERE name = %s", [table])
            row = cursor.fetchone()
            return (row and row[0]) or None  # 0 where the table was made anew, empty
        cursor.execute("SELECT pg_get_serial_sequence(%s, %s)", [f'"{table}"', key.column])
        [sequence] = cursor.fetchone()
        cursor.execute(f"SELECT last_value, is_called FROM {sequence}")
        last, was_given = cursor.fetchone()
        return last if was_given else None


def go_on_after(model: type[Model], last: int | None, connection) -> None:
    """The next key is one more."""
    if last is None:
        return
    table, key = model._meta.db_table, model._meta.pk.column
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("DELETE FROM sqlite_sequence WHERE name = %s", [table])
            cursor.execute("INSERT INTO sqlite_sequence (name, seq) VALUES (%s, %s)", [table, last])
        else:
            cursor.execute(
                "SELECT setval(pg_get_serial_sequence(%s, %s), %s)", [f'"{table}"', key, last]
            )
