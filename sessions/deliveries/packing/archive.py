"""A ZIP archive as a stream: stored, of known length, the same bytes for the same content.

Python's own writer writes into what is sent at once; a library that streams gives what it is fed today's
date, and so other bytes every day.
"""

import io
import zipfile
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

NEVER_COMPRESSED = zipfile.ZIP_STORED  # sound does not get smaller, and the length is known


@dataclass(frozen=True)
class Entry:
    """One file: its path in the archive, and `blocks`, which reads its `size` bytes once more."""

    path: str
    size: int
    sha256: str
    blocks: Callable[[], Iterable[bytes]]

    @property
    def wants_zip64(self) -> bool:
        """As `ZipFile` decides it before it has seen the bytes."""
        return self.size * 1.05 > zipfile.ZIP64_LIMIT


class WrongLength(Exception):
    """A file has not the length that the archive was promised with."""


class _Outlet(io.RawIOBase):
    """What is written waits here for the one who sends it; nobody can go back in it."""

    def __init__(self):
        self._waiting = []

    def writable(self) -> bool:
        return True

    def write(self, data) -> int:
        self._waiting.append(bytes(data))
        return len(data)

    def take(self) -> bytes:
        taken = b"".join(self._waiting)
        self._waiting.clear()
        return taken


def zip_stream(entries: Iterable[Entry], *, at: datetime) -> Iterator[bytes]:
    """The archive, each file dated `at`. Holds a block at a time. Raises WrongLength."""
    outlet = _Outlet()
    with zipfile.ZipFile(outlet, "w", NEVER_COMPRESSED) as archive:
        for entry in entries:
            info = zipfile.ZipInfo(entry.path, at.timetuple()[:6])
            info.file_size = entry.size  # what it has in store; says whether it needs ZIP64
            info.external_attr = 0o644 << 16
            sent = 0
            with archive.open(info, "w") as file:
                for block in entry.blocks():
                    sent += len(block)
                    file.write(block)
                    yield outlet.take()
            if sent != entry.size:
                raise WrongLength(f"{entry.path}: {sent} bytes in place of {entry.size}")
    yield outlet.take()


def zip_length(entries: Iterable[Entry]) -> int:
    """How many bytes `zip_stream` gives, by APPNOTE 6.3.10, 4.3.6 to 4.3.16: for each file a header,
    what is in it and a descriptor; a directory of all; the end."""
    offset = directory = count = 0
    for entry in entries:
        name, limit = len(entry.path.encode()), zipfile.ZIP64_LIMIT
        wide = 16 * (entry.size > limit) + 8 * (offset > limit)
        directory += 46 + name + (4 + wide if wide else 0)
        offset += 30 + name + entry.size + ((20 + 24) if entry.wants_zip64 else 16)
        count += 1
    is_wide = count > zipfile.ZIP_FILECOUNT_LIMIT or max(offset, directory) > zipfile.ZIP64_LIMIT
    return offset + directory + 22 + (56 + 20 if is_wide else 0)
