"""Errors as the engines themselves give them: SQLite's result codes (sqlite.org/rescode.html), SQLSTATEs of
PostgreSQL's manual (appendix A), and errno of POSIX."""

import errno
import logging
import shutil
from contextlib import closing, contextmanager

import pytest
from django.db import (
    DEFAULT_DB_ALIAS,
    Error,
    OperationalError,
    ProgrammingError,
    connection,
    connections,
    transaction,
)

from sessions.clients.models import Client
from sessions.unavailable import Unavailable, if_nobody_waits, unavailable
from tests.factories import ClientFactory


@contextmanager
def another(**changed):
    """A connection of its own, to a table of its own, with what is changed of the settings."""
    facts = connection.settings_dict | changed
    made = type(connections[DEFAULT_DB_ALIAS])(facts, "another")
    with closing(made):
        yield made


def error_of(made, *statements: str) -> Error:
    """What the last of them raises."""
    *first, last = statements
    for statement in first:
        run(made, statement)
    with pytest.raises(Error) as caught:
        run(made, last)
    return caught.value


def run(made, statement: str) -> None:
    with made.cursor() as cursor:
        cursor.execute(statement)


@pytest.fixture
def sqlite_file(db, tmp_path):
    if connection.vendor != "sqlite":
        pytest.skip("the errors of SQLite")
    facts = {"NAME": tmp_path / "own.sqlite3", "OPTIONS": {"timeout": 0.01}}
    with another(**facts) as made, made.cursor() as cursor:
        cursor.execute("CREATE TABLE reels (name TEXT)")
    return facts


def test_sqlite_that_is_held(sqlite_file):
    with another(**sqlite_file) as holds, another(**sqlite_file) as waits:
        with holds.cursor() as cursor:
            cursor.execute("BEGIN EXCLUSIVE")
        error = error_of(waits, "INSERT INTO reels VALUES ('one')")

    assert unavailable(error) == Unavailable.HELD


def test_sqlite_that_has_no_room(sqlite_file):
    with another(**sqlite_file) as made:
        much = "INSERT INTO reels VALUES (hex(randomblob(100000)))"
        error = error_of(made, "PRAGMA max_page_count = 3", much)

    assert unavailable(error) == Unavailable.FULL


def test_sqlite_that_is_read_only(sqlite_file):
    with another(**sqlite_file) as made:
        error = error_of(made, "PRAGMA query_only = 1", "INSERT INTO reels VALUES ('one')")

    assert unavailable(error) == Unavailable.READ_ONLY


def test_sqlite_whose_folder_is_gone(sqlite_file, tmp_path):
    shutil.rmtree(tmp_path)
    with another(**sqlite_file) as made:
        assert unavailable(error_of(made, "SELECT 1")) == Unavailable.AWAY


@pytest.mark.postgres
def test_postgresql_whose_lock_is_held(on_postgresql):
    with another() as holds, another() as waits:
        holds.set_autocommit(False)
        with holds.cursor() as cursor:
            cursor.execute("LOCK TABLE studio_sessions_client")
        error = error_of(
            waits,
            "SET lock_timeout = '10ms'",
            "SELECT count(*) FROM studio_sessions_client",
        )
        holds.rollback()

    assert unavailable(error) == Unavailable.HELD


@pytest.mark.postgres
def test_postgresql_that_is_read_only(on_postgresql):
    with another() as made:
        error = error_of(
            made, "SET default_transaction_read_only = on", "CREATE TABLE reels (name text)"
        )

    assert unavailable(error) == Unavailable.READ_ONLY


@pytest.mark.postgres
def test_postgresql_that_ends_the_connection(on_postgresql):
    with another() as made:
        error = error_of(made, "SELECT pg_terminate_backend(pg_backend_pid())")
        assert unavailable(error) == Unavailable.AWAY
        assert unavailable(error_of(made, "SELECT 1")) == Unavailable.AWAY


@pytest.mark.postgres
def test_postgresql_that_is_not_there(on_postgresql, tmp_path):
    with another(HOST=str(tmp_path)) as made:
        assert unavailable(error_of(made, "SELECT 1")) == Unavailable.AWAY


@pytest.mark.django_db
@pytest.mark.parametrize("statement", ["SELECT * FROM nothing", "SELEKT 1", "SELECT nothing"])
def test_what_is_wrong_in_the_code_is_no_outage(statement):
    with pytest.raises((OperationalError, ProgrammingError)) as caught, transaction.atomic():
        connection.cursor().execute(statement)

    assert unavailable(caught.value) is None


@pytest.mark.parametrize(
    ("code", "why"),
    [
        (errno.ENOSPC, Unavailable.FULL),
        (errno.EDQUOT, Unavailable.FULL),
        (errno.EROFS, Unavailable.READ_ONLY),
        (errno.EIO, Unavailable.AWAY),
        (errno.ENOENT, None),
    ],
)
def test_disk(code, why):
    assert unavailable(OSError(code, "said by the system")) == why
    assert unavailable(ValueError(code)) is None


def test_note_is_left_unwritten_where_somebody_would_wait(sqlite_file, monkeypatch, caplog):
    caplog.set_level(logging.INFO, "sessions.unavailable")
    with another(**sqlite_file) as holds, another(**sqlite_file) as notes:
        notes.settings_dict["OPTIONS"] = {"timeout": 60}
        monkeypatch.setattr("sessions.unavailable.connection", notes)
        with holds.cursor() as cursor:
            cursor.execute("BEGIN EXCLUSIVE")
        with if_nobody_waits(), notes.cursor() as cursor:
            cursor.execute("INSERT INTO reels VALUES ('one')")
        with notes.cursor() as cursor:
            cursor.execute("PRAGMA busy_timeout")
            assert cursor.fetchone() == (60_000,)

    assert "database is locked" in caplog.text


@pytest.mark.django_db
def test_note_is_written_where_nobody_waits():
    with if_nobody_waits():
        ClientFactory(name="Ropewalk Records")

    assert Client.objects.filter(name="Ropewalk Records").exists()
    with pytest.raises(RuntimeError), if_nobody_waits():
        raise RuntimeError("of the code")
