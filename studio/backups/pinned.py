"""Files that rows name, held by a second link while they are copied: no sweep takes them meanwhile."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.conf import settings
from django.core.files.storage import default_storage

from sessions.takes.models import TakeFile
from studio.backups.contents import file_fields
from studio.backups.manifest import ListedFile

PINNED = "pinned"  # in the folder of what comes in, which is on the disk of the stored files


def named_files(connection) -> dict[str, str]:
    """The names of all files that rows name, with the SHA-256 that they were stored with, where it is
    on record."""
    named = {}
    for field in file_fields():
        model = field.model
        known = "sha256" if "sha256" in {each.name for each in model._meta.fields} else None
        columns = [field.attname, *filter(None, [known])]
        query = model._base_manager.exclude(**{field.attname: ""}).values_list(*columns).query
        rows = query.get_compiler(connection=connection).results_iter(chunked_fetch=True)
        named.update((row[0], row[1] if known else "") for row in rows if row[0])
    return named


@contextmanager
def pins() -> Iterator[Path]:
    """A folder for them, which goes with all that is in it."""
    folder = Path(settings.FILE_UPLOAD_TEMP_DIR) / PINNED
    shutil.rmtree(folder, ignore_errors=True)  # of a process that was killed
    folder.mkdir(parents=True)
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def pin(folder: Path, names: dict[str, str]) -> tuple[dict[str, Path], list[ListedFile], list[str]]:
    """The pinned files by name, those that are kept in a bucket, and those that are nowhere."""
    here, listed, gone = {}, [], []
    for number, (name, known) in enumerate(sorted(names.items())):
        second = folder / str(number)
        try:
            _link(default_storage.path(name), second)
        except (NotImplementedError, FileNotFoundError):
            if default_storage.exists(name):
                size = default_storage.size(name)
                listed.append(ListedFile("bucket", name, size, known))
            else:
                gone.append(name)
        else:
            here[name] = second
    return here, listed, gone


def _link(path: str, second: Path) -> None:
    try:
        os.link(path, second)
    except FileNotFoundError:
        raise
    except OSError:  # a file system without links, or another one
        shutil.copyfile(path, second)


def linked_takes(connection) -> list[ListedFile]:
    """The recordings that are linked to takes and stay in the folders of TAKE_FOLDERS."""
    query = (
        TakeFile.objects.exclude(folder="")
        .order_by("folder", "path", "pk")
        .values_list("folder", "path", "size_bytes", "sha256")
        .query
    )
    rows = query.get_compiler(connection=connection).results_iter(chunked_fetch=True)
    return [
        ListedFile("folder", f"{folder}/{path}", size, known) for folder, path, size, known in rows
    ]
