"""One file that holds all of the studio: a ZIP of `tables/`, `files/`, `settings.json`, and
`manifest.json`, which is written last."""

import json
import os
import tomllib
from collections.abc import Callable
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO
from zipfile import ZIP64_LIMIT, ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from django.conf import settings
from django.db import connections
from django.db.migrations.recorder import MigrationRecorder

from studio.backups.canonical import fields_of, lines_of
from studio.backups.contents import is_history, models
from studio.backups.manifest import Manifest, StoredFile, Table
from studio.backups.numbers import last_number
from studio.backups.own_settings import own_settings
from studio.backups.pinned import linked_takes, named_files, pin, pins
from studio.backups.snapshot import snapshot

BLOCK = 1 << 20
TRIES = 3
MANIFEST, SETTINGS = "manifest.json", "settings.json"


class _Moved(Exception):
    """A file went between the snapshot and its link: with its row, so another moment is taken."""


class _Summed:
    """A file that is only ever written on, with the SHA-256 of all of it."""

    def __init__(self, file: BinaryIO):
        self.file, self.sum, self.bytes = file, sha256(), 0

    def write(self, block: bytes) -> int:
        self.sum.update(block)
        self.bytes += len(block)
        return self.file.write(block)

    def flush(self) -> None:
        self.file.flush()


def write_backup(
    file: BinaryIO, *, with_secrets: bool = False, moment: Callable = snapshot
) -> tuple[Manifest, str, int]:
    """Write one, of this moment; give what it says of itself, its SHA-256 and its bytes.

    Whoever works goes on working. Raises OSError, as the disk has it.
    """
    for left in reversed(range(TRIES)):
        file.seek(0)
        file.truncate()
        summed = _Summed(file)
        try:
            with ZipFile(summed, "w") as archive:
                manifest = _write(archive, moment, with_secrets=with_secrets, is_last=not left)
        except _Moved:
            continue
        return manifest, summed.sum.hexdigest(), summed.bytes
    raise AssertionError("the last try takes what is there")


def _write(archive: ZipFile, moment, *, with_secrets: bool, is_last: bool) -> Manifest:
    with pins() as folder:
        with moment() as connection:
            manifest = _about(connection)
            names = named_files(connection)
            here, manifest.listed, manifest.missing = pin(folder, names)
            if manifest.missing and not is_last:
                _see_that_rows_still_name(manifest.missing)
            manifest.listed += linked_takes(connection)
            for model in models():
                manifest.tables[model._meta.db_table] = _write_table(archive, model, connection)
        for name, path in here.items():
            manifest.files[name] = stored = _write_file(archive, f"files/{name}", path)
            if names[name] not in ("", stored.sha256):
                manifest.damaged.append(name)
    said = json.dumps(own_settings(with_secrets=with_secrets), indent=1, sort_keys=True).encode()
    manifest.with_secrets, manifest.settings_sha256 = with_secrets, sha256(said).hexdigest()
    archive.writestr(_entry(SETTINGS, ZIP_DEFLATED), said)
    archive.writestr(_entry(MANIFEST, ZIP_DEFLATED), manifest.written())
    return manifest


def _see_that_rows_still_name(missing: list[str]) -> None:
    if set(missing) - set(named_files(connections["default"])):
        raise _Moved


def _about(connection) -> Manifest:
    with (settings.BASE_DIR / "pyproject.toml").open("rb") as file:
        program = tomllib.load(file)["project"]["version"]
    return Manifest(
        program=program,
        made_at=datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z"),
        engine=connection.vendor,
        migrations=sorted(map(list, MigrationRecorder(connection).applied_migrations())),
    )


def _write_table(archive: ZipFile, model, connection) -> Table:
    table = model._meta.db_table
    rows = 0
    with archive.open(_entry(f"tables/{table}.jsonl", ZIP_DEFLATED), "w", force_zip64=True) as into:
        written = _Summed(into)
        for line in lines_of(model, connection):
            written.write(line)
            rows += 1
    return Table(
        columns=sorted(fields_of(model)),
        rows=rows,
        bytes=written.bytes,
        sha256=written.sum.hexdigest(),
        last=last_number(model, connection),
        history=is_history(model),
    )


def _write_file(archive: ZipFile, name: str, path: Path) -> StoredFile:
    with path.open("rb") as file:
        is_large = os.fstat(file.fileno()).st_size >= ZIP64_LIMIT // 2
        with archive.open(_entry(name, ZIP_STORED), "w", force_zip64=is_large) as into:
            written = _Summed(into)
            while block := file.read(BLOCK):
                written.write(block)
    return StoredFile(written.bytes, written.sum.hexdigest())


def _entry(name: str, compressed: int) -> ZipInfo:
    """Without a date of its own, and its owner’s alone."""
    entry = ZipInfo(name)
    entry.compress_type = compressed
    entry.external_attr = 0o600 << 16
    return entry
