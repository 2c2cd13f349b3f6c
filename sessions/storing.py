"""Files on their way in: named by us, moved into the store, swept up where they were left."""

import fcntl
import os
import shutil
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.core.files import File
from django.core.files.storage import default_storage
from django.db.models import FileField
from django.db.models.fields.files import FieldFile

LEFT_BEHIND = timedelta(days=1)
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
        reach_disk(field_file.path)
        reach_disk(os.path.dirname(field_file.path))
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


class _OnDisk(File):
    """A file that the store may have as it stands, under a name of its own."""

    def temporary_file_path(self) -> str:
        return self.file.name


@contextmanager
def linked(path: Path) -> Iterator[File]:
    """The file under a second name, for the store to move: the first one stays, so that a process that
    is killed between the two has lost nothing. Where the file system has no links it is copied."""
    second = path.with_name(f"{path.name}.{uuid.uuid4().hex}")
    try:
        try:
            os.link(path, second)
        except OSError:
            shutil.copyfile(path, second)
        os.utime(second)  # it is new in the store, however long it took to arrive
        with second.open("rb") as file:
            yield _OnDisk(file, name=path.name)
    finally:
        second.unlink(missing_ok=True)


def printable_name(name: str) -> str:
    """The last part of a file's name as its sender wrote it, without anything that can't be shown.

    Control characters and marks that turn the direction of writing would let a name look like
    another one.
    """
    last = name.replace("\\", "/").rpartition("/")[2]
    shown = "".join(letter for letter in last if letter.isprintable()).strip(" .")
    return shown[-LONGEST_NAME:] or "unnamed"


def sweep_incoming(now: datetime) -> None:
    """Removes what forms were sending when their process was killed."""
    for path in Path(settings.FILE_UPLOAD_TEMP_DIR).glob("*.upload*"):
        remove_if_old(path, now)


def remove_if_old(path: Path, now: datetime) -> None:
    """Where nobody has written to it for a day."""
    try:
        if path.stat().st_mtime < (now - LEFT_BEHIND).timestamp():
            path.unlink()
    except FileNotFoundError:  # another process removed it
        pass


def remove_without_row(now: datetime) -> None:
    """Removes files that no row has had for an hour, of all fields that have files."""
    fields = [
        field
        for model in apps.get_models()
        for field in model._meta.fields
        if isinstance(field, FileField)
    ]
    in_use = set()
    for field in fields:
        in_use.update(field.model.objects.values_list(field.attname, flat=True))
    for folder in {field.upload_to.partition("/")[0] for field in fields}:
        for file in set(_files_below(folder)) - in_use:
            if default_storage.get_modified_time(file) < now - timedelta(hours=1):
                default_storage.delete(file)


def _files_below(folder: str) -> Iterator[str]:
    try:
        folders, names = default_storage.listdir(folder)
    except FileNotFoundError:  # nothing was ever stored
        return
    yield from (f"{folder}/{name}" for name in names)
    for inner in folders:
        yield from _files_below(f"{folder}/{inner}")


def reach_disk(path: str | Path) -> None:
    """What was written to this file, or into this folder, survives a power cut from here on."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
