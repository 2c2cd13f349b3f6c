"""What is taken away, for as long as a block lasts, and given back."""

import os
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

import psycopg
from django.conf import settings
from django.contrib.auth import get_user_model
from django.db import connection, connections

from tests.mail_server import MailServer
from tests.measure.load.processes import Processes
from tests.measure.web import served

ROOM = (
    "900m"  # of the disk that is filled: uploads leave 256 MB free, and come to as much in an hour
)


class NotHere(Exception):
    """What a fault needs is not on this machine."""


@dataclass
class Things:
    studio: Processes
    post: MailServer
    clock: Path
    port: int = 0  # of the server whose pages are looked at

    def __post_init__(self):
        self.port = self.studio.port

    # --- the database -----------------------------------------------------------------------------

    @contextmanager
    def held(self) -> Iterator[None]:
        """Somebody has begun to write, and does not end."""
        if connection.vendor == "sqlite":
            with _sqlite() as holder:
                holder.execute("BEGIN IMMEDIATE")
                yield
            return
        with psycopg.connect(os.environ["DATABASE_URL"]) as holder:
            # All that is written says by whom. Of one table alone nobody waits for us while we wait.
            holder.execute(f'LOCK TABLE "{get_user_model()._meta.db_table}" IN EXCLUSIVE MODE')
            yield
            holder.rollback()

    @contextmanager
    def read_only(self) -> Iterator[None]:
        """PostgreSQL takes nothing but questions, as one that follows another does; SQLite is opened so by
        another server."""
        if connection.vendor == "sqlite":
            with self._another_server(STUDIO_MEASURE_READ_ONLY="1"):
                yield
            return
        with _another_database() as (server, name):
            server.execute(f'ALTER DATABASE "{name}" SET default_transaction_read_only = on')
            _end_connections(server, name)
            try:
                yield
            finally:
                server.execute(f'ALTER DATABASE "{name}" RESET default_transaction_read_only')
                _end_connections(server, name)

    @contextmanager
    def gone(self) -> Iterator[None]:
        """PostgreSQL ends all connections and takes none; the folder of SQLite is not there."""
        if connection.vendor == "sqlite":
            folder = Path(settings.DATA_DIR, "database")
            away = folder.with_name("away")
            folder.rename(away)
            try:
                yield
            finally:
                away.rename(folder)
            return
        with _another_database() as (server, name):
            server.execute(f'ALTER DATABASE "{name}" ALLOW_CONNECTIONS false')
            _end_connections(server, name)
            try:
                yield
            finally:
                server.execute(f'ALTER DATABASE "{name}" ALLOW_CONNECTIONS true')

    # --- the machine ------------------------------------------------------------------------------

    @contextmanager
    def full(self) -> Iterator[None]:
        """The disk with the files, and with SQLite the database, has no byte left."""
        if not os.path.ismount(settings.DATA_DIR):
            raise NotHere("a disk of its own cannot be mounted")
        filler = Path(settings.DATA_DIR, "filler")
        with filler.open("wb", buffering=0) as file, suppress(OSError):
            while file.write(bytes(1 << 20)):  # the last one is cut off where the disk ends
                pass
        try:
            yield
        finally:
            filler.unlink()

    @contextmanager
    def set_back(self) -> Iterator[None]:
        """The machine's clock, by a day."""
        self.clock.write_text("-1")
        yield
        self.clock.write_text("0")

    @contextmanager
    def set_ahead(self) -> Iterator[None]:
        self.clock.write_text("1")
        yield
        self.clock.write_text("0")

    # --- others -----------------------------------------------------------------------------------

    @contextmanager
    def no_mail(self) -> Iterator[None]:
        self.post.stop()
        try:
            yield
        finally:
            self.post.start()

    @contextmanager
    def _another_server(self, **environment: str) -> Iterator[None]:
        """The pages are asked of it meanwhile."""
        before = dict(os.environ)
        os.environ |= environment
        try:
            with served() as (self.port, _):
                Processes.wait_until_served(self)
                yield
        finally:
            os.environ.clear()
            os.environ |= before
            self.port = self.studio.port


@contextmanager
def small_disk() -> Iterator[None]:
    """The studio's folder on a disk of its own that is small, where one may be mounted; SQLite's file in a
    folder of its own in it."""
    connections.close_all()
    folder = Path(settings.DATA_DIR)
    kept = shutil.copytree(folder, folder.with_name(f"{folder.name}-kept"))
    mounted = not subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={ROOM}", "studio", folder],  # noqa: S607
        stderr=subprocess.DEVNULL,
        check=False,
    ).returncode
    try:
        shutil.copytree(kept, folder, dirs_exist_ok=True)
        shutil.rmtree(kept)
        if connection.vendor == "sqlite":
            _move_file(folder)
        yield
    finally:
        connections.close_all()
        if mounted:
            subprocess.run(["umount", "-l", folder], check=True)  # noqa: S607


def _move_file(folder: Path) -> None:
    """Its connections are made anew from the settings."""
    inner = folder / "database"
    inner.mkdir()
    for file in folder.glob("studio.sqlite3*"):
        file.rename(inner / file.name)
    name = str(inner / "studio.sqlite3")
    connection.settings_dict["NAME"] = settings.DATABASES["default"]["NAME"] = name
    os.environ["DATABASE_URL"] = f"sqlite:///{name}"


@contextmanager
def clock_to_set() -> Iterator[Path]:
    """A file that says by how many days the clock of all processes begun meanwhile is wrong."""
    clock = Path(settings.DATA_DIR).with_suffix(".clock")
    clock.write_text("0")
    os.environ["STUDIO_MEASURE_CLOCK"] = str(clock)
    try:
        yield clock
    finally:
        del os.environ["STUDIO_MEASURE_CLOCK"]
        clock.unlink()


@contextmanager
def _sqlite() -> Iterator[sqlite3.Connection]:
    made = sqlite3.connect(
        connection.settings_dict["NAME"], timeout=60, check_same_thread=False, isolation_level=None
    )
    try:
        yield made
    finally:
        made.close()


@contextmanager
def _another_database() -> Iterator[tuple[psycopg.Connection, str]]:
    """The server, asked in another database of it, and the name of ours."""
    url = urlsplit(os.environ["DATABASE_URL"])
    with psycopg.connect(url._replace(path="/postgres").geturl(), autocommit=True) as server:
        yield server, url.path.removeprefix("/")


def _end_connections(server: psycopg.Connection, name: str) -> None:
    server.execute(
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
        " WHERE datname = %s AND usename = current_user",
        [name],
    )
