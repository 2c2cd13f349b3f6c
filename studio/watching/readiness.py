"""Whether the studio can be worked with, part by part: yes or no, and no figure of it."""

import os
import shutil
from collections.abc import Callable
from functools import cache
from pathlib import Path

from django.conf import settings
from django.db import Error, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

from sessions import constraints
from sessions.tasks.models import QUEUES, Worker

LEAST_FREE = 1 << 30  # bytes of disk: papers, an upload's pieces and what the database grows by


def parts() -> dict[str, bool]:
    """Each asked of what it is about now, so that it is right whichever process answers."""
    asked = {name: _holds(is_so) for name, is_so in OF_THE_DATABASE.items()}
    return asked | {"files": files_can_be_stored()}


def _answers() -> bool:
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
        return cursor.fetchone() == (1,)


def _is_migrated() -> bool:
    return _last_migrations() <= set(MigrationRecorder(connection).applied_migrations())


def _keeps_every_rule() -> bool:
    return not constraints.missing(connection)


def _is_worked() -> bool:
    """Whether somebody alive does each queue."""
    return all(Worker.objects.alive(queue) for queue in QUEUES)


OF_THE_DATABASE = {
    "database": _answers,
    "migrations": _is_migrated,
    "rules": _keeps_every_rule,
    "worker": _is_worked,
}


def _holds(is_so: Callable[[], bool]) -> bool:
    try:
        return is_so()
    except Error:
        return False


@cache
def _last_migrations() -> frozenset[tuple[str, str]]:
    """Of each app, as this program has them: they don't change while it runs."""
    return frozenset(MigrationLoader(None).graph.leaf_nodes())


def files_can_be_stored() -> bool:
    """Nothing is written for it: it is asked every few seconds. A disk that is mounted read-only says no."""
    there = _nearest(Path(settings.MEDIA_ROOT))
    try:
        return os.access(there, os.W_OK | os.X_OK) and shutil.disk_usage(there).free >= LEAST_FREE
    except OSError:
        return False


def _nearest(folder: Path) -> Path:
    """It, or what it will be made in: the first file makes the folder."""
    return next((path for path in (folder, *folder.parents) if path.exists()), folder)
