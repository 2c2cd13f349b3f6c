"""Databases beside the one in use."""

from contextlib import contextmanager

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.test import override_settings

from studio.settings import SQLITE_OPTIONS
from studio.sqlite3.base import DatabaseWrapper


def note_migrations(own) -> None:
    """Of tables that were made from the models: as if the migrations had made them."""
    with override_settings(MIGRATION_MODULES={}):
        recorder = MigrationRecorder(own)
        recorder.ensure_schema()
        for migration in MigrationLoader(None).disk_migrations:
            recorder.record_applied(*migration)


@contextmanager
def using(path):
    """The SQLite file is the database meanwhile."""
    own = connections[DEFAULT_DB_ALIAS]
    facts = own.settings_dict | {
        "ENGINE": "studio.sqlite3",
        "NAME": str(path),
        "OPTIONS": SQLITE_OPTIONS,
    }
    other = DatabaseWrapper(facts, DEFAULT_DB_ALIAS)
    connections[DEFAULT_DB_ALIAS] = other
    try:
        yield other
    finally:
        other.close()
        connections[DEFAULT_DB_ALIAS] = own
