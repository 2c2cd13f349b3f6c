"""A backup becomes a studio again, on either engine: all of it or nothing."""

import hashlib
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import islice
from pathlib import Path

from django.apps import apps as today
from django.conf import settings
from django.core.management import call_command
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor

from sessions import constraints
from sessions.storing import reach_disk
from studio.backups import fitting
from studio.backups.contents import models
from studio.backups.loading import load, what_it_holds
from studio.backups.reading import Archive


class Refused(Exception):
    """Nothing was restored; the text says why."""


def restore(archive: Archive, *, say: Callable[[str], None]) -> None:
    """Into the database and the files of this machine, which hold nothing yet.

    Raises Refused before anything is written, Damaged, and NotAsBackedUp or RulesBroken, after which
    the database is empty again.
    """
    say("Reading all of the backup …")
    archive.see_that_it_is_whole()
    registry = tables_for(archive, say)
    held = tables_held(archive, registry)
    see_that_they_fit(archive, held)
    with stored_files(archive, say):
        say(f"Loading {archive.manifest.rows} rows …")
        if registry is today:
            with constraints.aside(connection):
                load(archive, held, connection)
                see_that_rules_hold()
        else:
            _restore_older(archive, held, say)


def tables_held(archive: Archive, registry) -> list:
    """Their models; what that version left out stays empty."""
    held = {model._meta.db_table: model for model in models(registry)}
    if unknown := sorted(set(archive.manifest.tables) - set(held)):
        raise Refused(f"Nobody knows its table {unknown[0]}.")
    return [held[table] for table in sorted(archive.manifest.tables)]


def see_that_they_fit(archive: Archive, held: list) -> None:
    odd = list(islice(fitting.misfits(archive, held, connection), fitting.MOST))
    if odd:
        raise Refused(
            "PostgreSQL does not take all that this backup holds; change this in the studio that made "
            "it, and back up again:\n" + "\n".join(odd)
        )


def see_that_rules_hold() -> None:
    broken = constraints.broken(connection)
    if broken:
        raise Refused("Its rows break rules of the studio:\n" + "\n".join(broken))


def _restore_older(archive: Archive, held: list, say) -> None:
    """Rules come with the last migration: until then nothing serves the database."""
    with transaction.atomic():
        load(archive, held, connection)
    say("Bringing the tables up to date …")
    try:
        call_command("migrate", verbosity=0)
        see_that_rules_hold()
    except BaseException:  # also a migration that fails, or PostgreSQL’s own rule of what overlaps
        _empty_again()
        raise


def _empty_again() -> None:
    there = set(connection.introspection.table_names())
    with constraints.aside(connection), connection.cursor() as cursor:
        for table in there & {model._meta.db_table for model in models()}:
            cursor.execute(f"DELETE FROM {table}")


# --- tables ---------------------------------------------------------------------------------------


def tables_for(archive: Archive, say):
    """Tables as the backup's version had them, in a database that holds nothing; the registry of their
    models. Raises Refused."""
    executor = MigrationExecutor(connection)
    wanted = {tuple(migration) for migration in archive.manifest.migrations}
    known = set(executor.loader.disk_migrations)
    if newer := sorted(wanted - known):
        raise Refused(
            f"It was made by a newer version of the program (with the migration {'.'.join(newer[0])}): "
            "upgrade this one first."
        )
    applied = set(executor.loader.applied_migrations)
    _see_that_it_is_empty(connection)
    if applied - wanted:
        raise Refused(
            "The backup is older than the tables of this database: name a database without tables "
            "(DATA_DIR, or DATABASE_URL on PostgreSQL), and do not run migrate before restore."
        )
    if wanted >= known:
        if applied != wanted:
            say("Making the tables …")
            call_command("migrate", verbosity=0)
        return today
    say("Making the tables of its version …")
    constraints.remove(connection)
    targets = [
        key
        for key in wanted
        if not any(child in wanted for child in executor.loader.graph.node_map[key].children)
    ]
    executor.migrate(targets)
    executor.loader.build_graph()
    return executor.loader.project_state(targets).apps


def _see_that_it_is_empty(connection) -> None:
    there = set(connection.introspection.table_names())
    held = what_it_holds([each for each in models() if each._meta.db_table in there], connection)
    if held:
        said = ", ".join(f"{table} {count}" for table, count in list(held.items())[:3])
        raise Refused(
            f"The database holds rows already ({said}, …): restore brings a backup into an empty one."
        )


# --- files ----------------------------------------------------------------------------------------


@contextmanager
def stored_files(archive: Archive, say) -> Iterator[None]:
    """In their places, before the rows that name them; taken away again if those do not come."""
    root = Path(settings.MEDIA_ROOT)
    wanted = [name for name in archive.manifest.files if not _is_there(archive, name, root / name)]
    say(f"Writing {len(wanted)} files …")
    written: list[Path] = []
    try:
        for name in wanted:
            _write(archive, name, root / name, written)
        for folder in {path.parent for path in written}:
            reach_disk(folder)
        yield
    except BaseException:
        for path in written:
            with suppress(OSError):
                path.unlink(missing_ok=True)
        raise


def _is_there(archive: Archive, name: str, path: Path) -> bool:
    """As where a studio moves to another engine on one machine. Raises Refused for another file."""
    if not path.exists():
        return False
    with path.open("rb") as file:
        if hashlib.file_digest(file, "sha256").hexdigest() != archive.manifest.files[name].sha256:
            raise Refused(f"Another file stands at {path}: name an empty folder by DATA_DIR.")
    return True


def _write(archive: Archive, name: str, path: Path, written: list[Path]) -> None:
    mode = settings.FILE_UPLOAD_DIRECTORY_PERMISSIONS
    path.parent.mkdir(mode=mode, parents=True, exist_ok=True)
    written.append(path)
    with path.open("wb") as file:
        for block in archive.blocks(name):
            file.write(block)
        file.flush()
        os.fchmod(file.fileno(), settings.FILE_UPLOAD_PERMISSIONS)
        os.fsync(file.fileno())
