"""Files in a folder of the server, below those that `TAKE_FOLDERS` names. No link is ever followed."""

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import PurePosixPath

from django.conf import settings

from sessions.takes.files.child import FoundFile
from sessions.takes.files.chunks import read_header

ENDINGS = (".wav", ".wave", ".bwf", ".rf64", ".bw64")
MOST_FILES = 500
MOST_HEADER_BYTES = 32 << 20
MOST_ENTRIES = 20_000
LONGEST_PATH = 500


class FolderRefused(Exception):
    """The folder can't be read; the message says why and what to do."""


@dataclass
class FolderRead:
    """`left_out` are sentences about what was not read."""

    files: list[FoundFile] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)


def read_folder(root: str, folder: str) -> FolderRead:
    """The headers of all WAV files in the folder (relative to `root`, which a setting allows) and
    below it. Raises FolderRefused."""
    if root not in settings.TAKE_FOLDERS:
        raise FolderRefused("This folder is not one that may be read: choose one of the list.")
    read, links, unread = FolderRead(), 0, 0
    with _opened(root, folder) as descriptor:
        for count, (path, name, parent) in enumerate(_entries(descriptor), 1):
            if count > MOST_ENTRIES or _is_full(read):
                read.left_out.append(
                    f"Not all was read: name a smaller folder, of up to {MOST_FILES} WAV files."
                )
                break
            try:
                links += _read_into(read, os.path.join(folder, path), name, parent)
            except OSError:
                unread += 1
    if links:
        read.left_out.append(f"Links are not followed: {links} left out.")
    if unread:
        read.left_out.append(f"Files that this program may not read: {unread} left out.")
    return read


def _is_full(read: FolderRead) -> bool:
    headers = sum(len(file.header) for file in read.files)
    return len(read.files) >= MOST_FILES or headers > MOST_HEADER_BYTES


def _read_into(read: FolderRead, path: str, name: str, parent: int) -> bool:
    """Add a WAV file. Whether it is a link, which is left out."""
    is_wave = name.casefold().endswith(ENDINGS)
    about = os.stat(name, dir_fd=parent, follow_symlinks=False) if is_wave else None
    if about and stat.S_ISREG(about.st_mode):
        flags = os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK
        with os.fdopen(os.open(name, flags, dir_fd=parent), "rb") as file:
            header = read_header(file, about.st_size)
        found = FoundFile(shown_path(path), about.st_size, header.content, header.sound_bytes)
        read.files.append(found)
    return bool(about and stat.S_ISLNK(about.st_mode))


def _entries(descriptor: int) -> Iterator[tuple[str, str, int]]:
    """Path, name and open folder of each file, in the order of the paths."""
    for folder, below, names, parent in os.fwalk(".", dir_fd=descriptor):  # follows no links
        below.sort()
        for name in sorted(names):
            yield os.path.normpath(os.path.join(folder, name)), name, parent


@contextmanager
def _opened(root: str, folder: str) -> Iterator[int]:
    """The folder, opened step by step, so that no step can be a link to elsewhere."""
    steps = PurePosixPath(folder).parts
    if "\0" in folder or ".." in steps or "/" in steps:
        raise FolderRefused(f"Write the folder as it is called below {root}, without “..”.")
    descriptor = _open_step(root, root, None)
    try:
        for step in steps:
            parent, descriptor = descriptor, _open_step(step, folder, descriptor)
            os.close(parent)
        yield descriptor
    finally:
        os.close(descriptor)


def _open_step(step: str, folder: str, parent: int | None) -> int:
    flags = os.O_RDONLY | os.O_DIRECTORY | (os.O_NOFOLLOW if parent is not None else 0)
    try:
        return os.open(step, flags, dir_fd=parent)
    except OSError as error:
        if error.errno in (errno.ELOOP, errno.ENOTDIR):
            why = f"“{step}” is a link or a file: name a folder itself."
        elif isinstance(error, PermissionError):
            why = f"This program may not read “{step}”: ask whoever keeps the server."
        else:
            why = f"There is no folder “{folder}” there: check how it is written."
        raise FolderRefused(why) from error


def shown_path(path: str) -> str:
    """What can be stored and shown of it: no control characters, the last part in any case."""
    path = path.replace("\\", "/").encode(errors="surrogateescape").decode(errors="replace")
    return "".join(sign for sign in path if sign.isprintable())[-LONGEST_PATH:]
