"""To make a backup, and to note how it ended."""

import errno
import fcntl
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import Error, connection
from django.utils import timezone

from sessions.storing import reach_disk
from studio.backups.making import write_backup
from studio.backups.models import Backup

logger = logging.getLogger(__name__)

IN_WORDS = {
    errno.ENOSPC: "The disk of {folder} is full: no backup was kept.",
    errno.EDQUOT: "The disk of {folder} is full: no backup was kept.",
    errno.EROFS: "{folder} can only be read: no backup was kept.",
    errno.EACCES: "This account may not write to {folder}: no backup was kept.",
    errno.ENOENT: "There is no folder {folder}: no backup was kept.",
    errno.ENOTDIR: "{folder} is no folder: no backup was kept.",
}


class BeingMade(Exception):
    """Another one is being made at the moment."""


class NotNoted(Exception):
    """The database is away: how it ended stands in no row, but in the text."""


def back_up(folder: Path | str, *, by=None, with_secrets: bool = False) -> Backup:
    """Make one in the folder, under a name that is its time; the row says how it ended, also if badly.

    Under its final name a file is whole and on the disk. Raises BeingMade, and NotNoted.
    """
    folder = Path(folder).absolute()
    made_at = timezone.now()
    row = Backup(made_at=made_at, made_by=by, with_secrets=with_secrets)
    with _only_one():
        try:
            row.file, manifest, row.sha256, row.size = _make(folder, made_at, with_secrets)
            row.holds = {
                "rows": manifest.rows,
                "files": len(manifest.files),
                "listed": len(manifest.listed),
                "missing": len(manifest.missing),
                "damaged": len(manifest.damaged),
            }
        except OSError as error:
            logger.exception("No backup was made")
            words = IN_WORDS.get(error.errno, "No backup was kept: {error}.")
            row.failure = words.format(folder=folder, error=error.strerror or error)
        except Error as error:
            logger.exception("No backup was made")
            row.failure = f"The database did not answer to the end ({error}): no backup was kept."
        except Exception as error:  # the page says so, and the next one is tried when it is due
            logger.exception("No backup was made")
            row.failure = f"An error of the program ({error}): no backup was kept."
    _note(row)
    return row


def _note(row: Backup) -> None:
    if not connection.in_atomic_block:
        connection.close()  # a server that was started anew while it took so long does not know it
    try:
        row.save()
    except Error as error:
        raise NotNoted(
            row.failure
            or f"{row.file} is whole, but the database is away: no list has it, and it stays until "
            "somebody removes it."
        ) from error


def _make(folder: Path, made_at: datetime, with_secrets: bool):
    path = folder / f"studio-{made_at:%Y-%m-%d-%H%M%S-%f}.zip"
    draft = path.with_suffix(".part")
    for left in folder.glob("studio-*.part"):  # by a process that was killed
        left.unlink()
    try:
        with open(draft, "w+b", opener=_owners_alone) as file:
            manifest, summed, size = write_backup(file, with_secrets=with_secrets)
            file.flush()
            os.fsync(file.fileno())
        draft.rename(path)
    finally:
        draft.unlink(missing_ok=True)
    reach_disk(folder)
    return str(path), manifest, summed, size


def _owners_alone(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


@contextmanager
def _only_one() -> Iterator[None]:
    """The folder of what comes in is locked meanwhile; whoever is killed lets go of it."""
    folder = os.open(settings.FILE_UPLOAD_TEMP_DIR, os.O_RDONLY)
    try:
        fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
        yield
    except BlockingIOError:
        raise BeingMade("A backup is being made already.") from None
    finally:
        os.close(folder)
