"""The studio set up on a database to spoil, which is dropped afterwards."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit

import django
import psycopg


@contextmanager
def scratch_studio() -> Iterator[None]:
    """A SQLite file in a temporary folder or, where DATABASE_URL names a PostgreSQL server, a
    database on it. Uploads go into the folder too, and no mail goes out. Child processes find it
    all in their environment."""
    with empty_database() as (folder, url):
        at_home = {"DATA_DIR": folder, "DEBUG": "0", "EMAIL_URL": "dummy://"}
        os.environ |= at_home | {"DATABASE_URL": url}
        os.mkdir(f"{folder}/static", 0o700)  # whitenoise warns where there is none
        set_up(migrations=False)
        yield


def set_up(*, migrations: bool) -> None:
    """Django, and the tables in the database that the environment names: made by the migrations or,
    much sooner, from the models."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.measure.settings"
    django.setup()
    from django.apps import apps
    from django.conf import settings
    from django.core.management import call_command

    if not migrations:
        settings.MIGRATION_MODULES = {app.label: None for app in apps.get_app_configs()}
    call_command("migrate", run_syncdb=True, verbosity=0)


@contextmanager
def empty_database() -> Iterator[tuple[str, str]]:
    """A folder for it, and its address: dropped afterwards, both."""
    prefix = f"studio-measure-{os.getpid()}-"
    with (
        tempfile.TemporaryDirectory(prefix=prefix) as folder,
        _made(os.environ.get("DATABASE_URL", ""), folder) as url,
    ):
        yield folder, url


@contextmanager
def _made(server: str, folder: str) -> Iterator[str]:
    if not server.startswith("postgres"):
        yield f"sqlite:///{folder}/studio.sqlite3"
        return
    name = os.path.basename(folder).lower()
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
        try:
            yield urlsplit(server)._replace(path=f"/{name}").geturl()
        finally:
            _drop(connection, name)


def _drop(connection: psycopg.Connection, name: str) -> None:
    """WITH (FORCE) is refused while the server's own vacuum is in it, whose process is not ours to
    end; a plain DROP ends that by itself, and waits 5 s for our sessions that are ended here."""
    connection.execute(
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
        " WHERE datname = %s AND usename = current_user",
        [name],
    )
    connection.execute(f'DROP DATABASE IF EXISTS "{name}"')
