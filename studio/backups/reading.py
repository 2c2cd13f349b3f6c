"""A backup is read: what it says of itself, and whether that is so. It may come from anywhere, so
nothing is believed, and no more is read than it says that there is."""

from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from lzma import LZMAError
from pathlib import Path, PurePosixPath
from zipfile import BadZipFile, ZipFile
from zlib import error as Deflated

from studio.backups.manifest import Manifest, read_manifest

BLOCK = 1 << 20
LONGEST_LINE = 256 << 20  # bytes; a letter's file of 25 MB stands in one
LONGEST_MANIFEST = 256 << 20  # bytes; of a million files
LONGEST_SETTINGS = 1 << 20
UNREADABLE = (
    BadZipFile,
    Deflated,
    EOFError,
    KeyError,
    LZMAError,
    OverflowError,
    RuntimeError,  # JSON that goes too deep; a byte that says that it is encrypted
    ValueError,
)


class Damaged(Exception):
    """It is none, or not what it was when it was made; the text says where."""


class Archive:
    """One that is open. Raises Damaged, and what the disk raises."""

    def __init__(self, zipped: ZipFile):
        self.zipped = zipped
        with _told_as("manifest.json"):
            self.manifest: Manifest = read_manifest(self._whole("manifest.json", LONGEST_MANIFEST))

    def _whole(self, name: str, longest: int) -> bytes:
        if self.zipped.getinfo(name).file_size > longest:
            raise Damaged(f"It is no backup: {name} is too long.")
        return self.zipped.read(name)

    def lines(self, table: str) -> Iterator[bytes]:
        """Of the table, once each of them was read; at the end it is said if they are others."""
        said = self.manifest.tables[table]
        rows, length, summed = 0, 0, sha256()
        with _told_as(f"tables/{table}.jsonl"), self.zipped.open(f"tables/{table}.jsonl") as file:
            while line := file.readline(min(LONGEST_LINE, said.bytes - length + 1)):
                rows, length = rows + 1, length + len(line)
                if length > said.bytes:
                    break
                summed.update(line)
                yield line
        if (rows, length, summed.hexdigest()) != (said.rows, said.bytes, said.sha256):
            raise Damaged(f"The rows of {table} are not those that were backed up.")

    def blocks(self, name: str) -> Iterator[bytes]:
        """Of a stored file, as `lines`."""
        said = self.manifest.files[name]
        length, summed = 0, sha256()
        with _told_as(f"files/{name}"), self.zipped.open(f"files/{name}") as file:
            while block := file.read(BLOCK):
                length += len(block)
                if length > said.bytes:
                    break
                summed.update(block)
                yield block
        if (length, summed.hexdigest()) != (said.bytes, said.sha256):
            raise Damaged(f"The file {name} is not the one that was backed up.")

    def settings(self) -> bytes:
        with _told_as("settings.json"):
            said = self._whole("settings.json", LONGEST_SETTINGS)
        if sha256(said).hexdigest() != self.manifest.settings_sha256:
            raise Damaged("The settings are not those that were backed up.")
        return said

    def see_that_it_is_whole(self) -> None:
        """Read all of it."""
        manifest = self.manifest
        names = {"manifest.json", "settings.json"}
        names |= {f"tables/{table}.jsonl" for table in manifest.tables}
        names |= {f"files/{name}" for name in manifest.files}
        if others := sorted(set(self.zipped.namelist()) ^ names):
            raise Damaged(
                f"It holds {others[0]} without saying so, or says so and does not hold it."
            )
        for name in manifest.files:
            path = PurePosixPath(name)
            if path.is_absolute() or ".." in path.parts or str(path) != name:
                raise Damaged(f"The name of the file {name} leads out of the store.")
        self.settings()
        for table in manifest.tables:
            for _ in self.lines(table):
                pass
        for name in manifest.files:
            for _ in self.blocks(name):
                pass


@contextmanager
def opened(path: Path | str) -> Iterator[Archive]:
    """Raises Damaged where it is no backup, or one of a newer format; OSError where it can't be had."""
    with open(path, "rb") as file:
        with _told_as(str(path)):
            zipped = ZipFile(file)
        with zipped:
            yield Archive(zipped)


@contextmanager
def _told_as(name: str) -> Iterator[None]:
    try:
        yield
    except UNREADABLE as error:
        raise Damaged(f"{name} can’t be read: {error}") from error
