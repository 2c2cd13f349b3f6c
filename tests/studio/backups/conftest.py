"""A second database beside the tests' own, and backups of what a test has not committed."""

import sqlite3
from contextlib import nullcontext

import pytest
from django.core.management import call_command
from django.db import DEFAULT_DB_ALIAS, connection, connections

from studio.backups import actions
from studio.backups.making import write_backup
from tests.studio.backups.others import note_migrations, using


@pytest.fixture
def backup_of(tmp_path, settings):
    """`backup_of(connection)` writes one of what that connection sees, and gives its path."""
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "incoming"
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()

    def write(of=connection, name="backup.zip", **how):
        with (tmp_path / name).open("w+b") as file:
            write_backup(file, moment=lambda: nullcontext(of), **how)
        return tmp_path / name

    return write


@pytest.fixture(scope="session")
def empty_sqlite(tmp_path_factory, django_db_setup, django_db_blocker):
    """A file with all tables and rules, and no rows; copied by whoever wants one."""
    path = tmp_path_factory.mktemp("sqlite") / "empty.sqlite3"
    if connection.vendor == "sqlite":
        own = sqlite3.connect(connection.settings_dict["NAME"])
        own.execute("VACUUM INTO ?", [str(path)])
        own.close()
        return path
    with django_db_blocker.unblock(), using(path):
        call_command("migrate", run_syncdb=True, verbosity=0)
        note_migrations(connections[DEFAULT_DB_ALIAS])
    return path


@pytest.fixture
def now_is_the_moment(monkeypatch):
    """Backups see what the test has not committed: they have its own connection."""
    write = actions.write_backup
    monkeypatch.setattr(
        actions,
        "write_backup",
        lambda file, **how: write(file, moment=lambda: nullcontext(connection), **how),
    )
