"""What the worker does for uploads again and again."""

import logging
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings

from sessions.deliverables.uploads.arriving import DiskFull, Locked, WrongOffset, append, discard
from sessions.deliverables.uploads.models import Upload, UploadState
from sessions.storing import remove_if_old

QUIET = timedelta(minutes=5)

logger = logging.getLogger(__name__)


def tidy_uploads(now: datetime) -> None:
    """Put on record what is whole and whose sender never heard so, and remove what nobody has gone
    on with for a week, the rows of what is on record, and files of no upload at all."""
    arriving = Upload.objects.arriving()
    for upload in arriving.filter(touched_at__lt=now - QUIET):
        try:
            if upload.is_whole:
                append(upload, b"", at=upload.offset)
            elif upload.expires_at < now:
                discard(upload)
        except (Locked, WrongOffset):  # somebody goes on with it, or has to begin anew
            pass
        except DiskFull as full:
            logger.warning("%s waits until there is room: %s", upload, full)
    Upload.objects.expired(now).exclude(state=UploadState.ARRIVING).delete()
    kept = {upload.path for upload in arriving}
    for path in Path(settings.FILE_UPLOAD_TEMP_DIR).glob("*.part*"):
        if path not in kept:
            remove_if_old(path, now)
