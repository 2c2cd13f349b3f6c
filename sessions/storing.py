"""Files on their way in: named by us, moved into the store, swept up where they were left."""

import fcntl
import os
import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.core.files import File
from django.core.files.storage import default_storage
from django.db.models import FileField
from django.db.models.fields.files import FieldFile

LEFT_BEHIND_SECONDS = 24 * 60 * 60
LONGEST_NAME = 255


@contextmanager
def stored(field_file: FieldFile, upload: File, *, ending: str):
    """Moves the upload into the store under a name of ours; takes it out again if the block fails.

    An upload that was written to a temporary file is renamed, any other file is copied. The block
    begins when the file is on the disk, so that rows never point to one that a power cut can take.
    A process that is killed inside the block leaves a file without a row, never the reverse.
    """
    field_file.save(f"{uuid.uuid4().hex}{ending}", upload, save=False)
    try:
        _reach_disk(field_file.path)
        _reach_disk(os.path.dirname(field_file.path))
        yield
    except BaseException:
        field_file.delete(save=False)
        raise


@contextmanager
def local_copy(field_file: FieldFile) -> Iterator[Path]:
    """The stored file as a path on this machine, for what can only read paths.

    One that is kept elsewhere is fetched, and removed again; one that is here stays here meanwhile.
    """
    with field_file.storage.open(field_file.name) as file:
        fcntl.flock(file, fcntl.LOCK_SH)  # see `move_next_part` in studio/storage.py
        yield Path(file.file.name)


def printable_name(name: str) -> str:
    """The last part of a file's name as its sender wrote it, without anything that can't be shown.

    Control characters and marks that turn the direction of writing would let a name look like
    another one.
    """
    last = name.replace("\\", "/").rpartition("/")[2]
    shown = "".join(letter for letter in last if letter.isprintable()).strip(" .")
    return shown[-LONGEST_NAME:] or "unnamed"


def sweep_incoming() -> None:
    """Removes uploads that were left in the incoming folder when their process was killed."""
    oldest = time.time() - LEFT_BEHIND_SECONDS
    for path in Path(settings.FILE_UPLOAD_TEMP_DIR).glob("*.upload*"):
        try:
            if path.stat().st_mtime < oldest:
                path.unlink()
        except FileNotFoundError:  # another process swept it, or the upload has ended
            pass


def remove_without_row(field: FileField, now: datetime) -> None:
    """Removes files of a field that no row has had for an hour. Its files stand in one folder."""
    folder = field.upload_to
    try:
        _, names = default_storage.listdir(folder)
    except FileNotFoundError:  # nothing was ever stored
        return
    in_use = set(field.model.objects.values_list(field.attname, flat=True))
    for file in {f"{folder}/{name}" for name in names} - in_use:
        if default_storage.get_modified_time(file) < now - timedelta(hours=1):
            default_storage.delete(file)


def _reach_disk(path: str) -> None:
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
