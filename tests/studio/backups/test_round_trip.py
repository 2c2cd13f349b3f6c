"""Whatever a studio holds comes back the same: SQLite → file → PostgreSQL → file → SQLite."""

import shutil
from contextlib import contextmanager

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, Phase, given, settings

from sessions import constraints
from studio.backups.contents import models
from studio.backups.loading import load
from studio.backups.reading import opened
from tests.studio.backups.odd_rows import fill, values
from tests.studio.backups.others import using

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@contextmanager
def postgres_without_checks(on):
    """Neither rules nor checks stand, and all of it is taken back."""
    with transaction.atomic():
        constraints.remove(on)
        with on.cursor() as cursor:
            cursor.execute(
                "SELECT format('ALTER TABLE %s DROP CONSTRAINT %I', conrelid::regclass, conname) "
                "FROM pg_constraint WHERE contype = 'c' AND conrelid <> 0 "
                "AND connamespace = current_schema::regnamespace"
            )
            for (statement,) in cursor.fetchall():
                cursor.execute(statement)
        yield
        transaction.set_rollback(True)


@contextmanager
def sqlite_without_checks(path):
    with using(path) as on:
        with on.cursor() as cursor:
            cursor.execute("PRAGMA ignore_check_constraints = ON")
        constraints.remove(on)
        yield on


def sums(path) -> dict[str, str]:
    with opened(path) as archive:
        return {name: table.sha256 for name, table in archive.manifest.tables.items()}


@settings(
    max_examples=2,
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(drawn=values)
def test_odd_rows_of_every_table_go_through_both_engines(
    drawn, on_postgresql, backup_of, empty_sqlite, tmp_path
):
    one, two = tmp_path / "one.sqlite3", tmp_path / "two.sqlite3"
    for path in (one, two):
        shutil.copy(empty_sqlite, path)
    with sqlite_without_checks(one) as on:
        fill(on, drawn)
        first = backup_of(on, "first.zip")
    with postgres_without_checks(connection):
        with opened(first) as archive:
            load(archive, models(), connection)
        second = backup_of(connection, "second.zip")
    with sqlite_without_checks(two) as on:
        with opened(second) as archive, transaction.atomic():
            load(archive, models(), on)
        third = backup_of(on, "third.zip")

    assert sums(first) == sums(second) == sums(third)
