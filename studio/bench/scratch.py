"""A database to spoil: made, handed to child processes, and gone again."""

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit

from django.core.management import CommandError
from django.db import connection

BENCH_SETTINGS = {"DJANGO_SETTINGS_MODULE": "studio.bench.settings"}


@contextmanager
def scratch_database() -> Iterator[dict[str, str]]:
    """The environment for processes that work on an empty database of their own.

    A file in a temporary folder, or on PostgreSQL a database on the server that DATABASE_URL names,
    where its user may make one. Uploads go into the folder too; no mail goes out.
    """
    with tempfile.TemporaryDirectory(prefix=f"studio-bench-{os.getpid()}-") as folder:
        at_home = {"DATA_DIR": folder, "EMAIL_URL": "dummymail://", "DEBUG": "0"}
        with _made(folder) as url:
            yield os.environ | at_home | {"DATABASE_URL": url}


def tables_made(environment: dict[str, str]) -> None:
    """Make the tables, with their rules, in the database of `scratch_database`."""
    subprocess.run(
        [sys.executable, "-m", "django", "migrate", "--run-syncdb", "--verbosity", "0"],
        env=environment | BENCH_SETTINGS,
        check=True,
    )


def answer_of(module: str, *arguments, environment: dict[str, str]):
    """What a module of this folder, run as a process of its own, prints as JSON.

    Raises CommandError where it fails; what it complains of goes to the terminal.
    """
    run = subprocess.run(
        [sys.executable, "-m", f"studio.bench.{module}", *map(str, arguments)],
        env=environment,
        stdout=subprocess.PIPE,
        text=True,
    )
    if run.returncode:
        raise CommandError(f"The process of {module} has failed; what it said stands above.")
    return json.loads(run.stdout)


@contextmanager
def _made(folder: str) -> Iterator[str]:
    if connection.vendor != "postgresql":
        yield f"sqlite:///{folder}/studio.sqlite3"
        return
    name = os.path.basename(folder).lower()
    _ask_server(f'CREATE DATABASE "{name}"')
    try:
        yield urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()
    finally:
        _ask_server(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')


def _ask_server(statement: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement)
