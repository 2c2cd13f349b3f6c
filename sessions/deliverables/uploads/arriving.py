"""Pieces of a file are put together in the incoming folder; the whole one goes on record.

The offset in the database is the truth: it is saved once a piece is on the disk, and the next piece is
written right behind it, over whatever a server left there that was killed.
"""

import fcntl
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from errno import ENOSPC
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from sessions.deliverables.actions import take_in
from sessions.deliverables.measuring import Reason, UnmeasurableFile
from sessions.deliverables.measuring.header import read_header
from sessions.deliverables.models import SOUND_KINDS, DeliverableFile
from sessions.deliverables.uploads.models import Upload, UploadState
from sessions.limited import ChildFailed, run_limited

PIECE_BYTES = 8 << 20
KEPT_FREE_BYTES = 256 << 20  # of the disk, for the database and all else that is written
LOOKING = {"memory_bytes": 1 << 30, "cpu_seconds": 10, "wall_seconds": 30}


class Locked(Exception):
    """Somebody else is writing at this very moment."""


class WrongOffset(Exception):
    """The piece does not follow what is here."""


class DiskFull(Exception):
    """The text is a sentence for the user."""

    def __init__(self):
        super().__init__(
            "The studio’s disk is full: nothing more can be uploaded until whoever looks after the "
            "server has made room. What has arrived so far is kept."
        )


def refuse_without_room(size: int) -> None:
    """Raises DiskFull where so many bytes more would not fit."""
    if shutil.disk_usage(settings.FILE_UPLOAD_TEMP_DIR).free < size + KEPT_FREE_BYTES:
        raise DiskFull


def append(upload: Upload, piece: bytes, *, at: int) -> None:
    """Write the piece behind what is here; with the last one the file goes on record, or is refused.

    An empty piece at the end tries that again. Raises Locked, WrongOffset, DiskFull, and
    Upload.DoesNotExist where it was removed meanwhile.
    """
    with _only_writer(upload) as partial:
        if upload.state != UploadState.ARRIVING or upload.offset != at:
            raise WrongOffset
        if os.fstat(partial).st_size < at:  # it was lost: by a restored backup, say
            _save(upload, offset=0)
            raise WrongOffset
        try:
            refuse_without_room(len(piece))
            _write(partial, piece, at)
            _save(upload, offset=at + len(piece), touched_at=timezone.now())
            if upload.is_whole:
                _land(upload)
        except OSError as error:
            os.ftruncate(partial, upload.offset)
            if error.errno == ENOSPC:
                raise DiskFull from error
            raise


def discard(upload: Upload) -> None:
    """Remove what has arrived; nothing of what is on record. Raises Locked."""
    with _only_writer(upload):
        upload.path.unlink()
        Upload.objects.filter(pk=upload.pk).delete()


@contextmanager
def _only_writer(upload: Upload) -> Iterator[int]:
    """The open partial file, and `upload` as it stands now."""
    partial = os.open(upload.path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(partial, fcntl.LOCK_EX | fcntl.LOCK_NB)
        upload.refresh_from_db()
        try:
            yield partial
        finally:
            if upload.state != UploadState.ARRIVING:
                upload.path.unlink(missing_ok=True)
    except BlockingIOError:
        raise Locked from None
    except Upload.DoesNotExist:
        upload.path.unlink(missing_ok=True)
        raise
    finally:
        os.close(partial)


def _write(partial: int, piece: bytes, at: int) -> None:
    os.ftruncate(partial, at)
    os.lseek(partial, at, os.SEEK_SET)
    with os.fdopen(partial, "wb", closefd=False) as file:
        file.write(piece)
    os.fsync(partial)


def _save(upload: Upload, **facts) -> None:
    for name, value in facts.items():
        setattr(upload, name, value)
    Upload.objects.filter(pk=upload.pk).update(**facts)


def _land(upload: Upload) -> None:
    def landed(file: DeliverableFile) -> None:
        # Only in the database, which may yet take it back: then the partial file is all there is.
        Upload.objects.filter(pk=upload.pk).update(state=UploadState.LANDED, file=file)

    try:
        if upload.kind in SOUND_KINDS:
            refuse_what_is_no_sound(upload.path)
        take_in(
            upload.song,
            path=upload.path,
            name=upload.original_name,
            kind=upload.kind,
            limiting=upload.limiting,
            note=upload.note,
            batch=upload.batch,
            add_to=upload.add_to,
            by=upload.by,
            then=landed,
        )
    except UnmeasurableFile as refusal:
        _save(upload, state=UploadState.REFUSED, refusal=str(refusal))
    else:
        upload.refresh_from_db()


def refuse_what_is_no_sound(path: Path) -> None:
    """A first look, as quick as a header is read. Raises UnmeasurableFile also where the file is
    not as long as it says."""
    if read_header(path).kind:
        return
    try:
        run_limited("sessions.deliverables.uploads.recognising", str(path), **LOOKING)
    except ChildFailed:
        raise UnmeasurableFile(
            Reason.NOT_AUDIO,
            "This is not a sound file that can be read here, whatever its name says: "
            "export WAV, AIFF or FLAC.",
        ) from None
