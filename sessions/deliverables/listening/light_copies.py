"""Light copies are wanted once a file is measured, and made off the request; run twice, made once."""

import tempfile
from pathlib import Path

from django.conf import settings
from django.core.files import File
from django.db import transaction
from django.utils import timezone
from django_tasks import task

from sessions.deliverables.listening import encoding
from sessions.deliverables.listening.models import LightCopy, files_without_a_light_copy
from sessions.deliverables.measuring import Measurement, UnmeasurableFile, measure_in_child
from sessions.deliverables.models import DeliverableFile
from sessions.limited import ChildFailed, run_limited
from sessions.storing import local_copy, stored
from sessions.tasks.models import SOUND

LONGEST_SECONDS = 3600  # an hour of stereo takes about 3 minutes
MEMORY_BYTES = 1 << 30
AT_ONCE = 50


def want_missing() -> None:
    """Regular work: queue a light copy of every file that ought to have one."""
    for file in files_without_a_light_copy()[:AT_ONCE]:
        want(file)


def want(file: DeliverableFile) -> None:
    with transaction.atomic():
        copy, is_new = LightCopy.objects.get_or_create(source=file)
        if is_new:
            make_light_copy.enqueue(copy.pk)


@task(queue_name=SOUND)
def make_light_copy(key: int) -> None:
    """Make it, or keep why that failed: no file is tried for ever."""
    copy = LightCopy.objects.select_related("source").filter(pk=key, made_at=None).first()
    if copy is None:
        return
    try:
        with local_copy(copy.source.file) as original:
            _make(copy, original)
    except (ChildFailed, UnmeasurableFile, OSError) as error:
        LightCopy.objects.filter(pk=key, made_at=None).update(failure=_last_line(error))


def _make(copy: LightCopy, original: Path) -> None:
    # Named like an upload on its way in, so that what a killed worker leaves is swept up with those.
    incoming = settings.FILE_UPLOAD_TEMP_DIR
    with tempfile.NamedTemporaryFile(dir=incoming, suffix=".upload.m4a") as made:
        run_limited(
            encoding.__name__,
            str(original),
            made.name,
            memory_bytes=MEMORY_BYTES,
            cpu_seconds=LONGEST_SECONDS,
            wall_seconds=2 * LONGEST_SECONDS,
        )
        facts = _facts(measure_in_child(made.name))
        # Who was overtaken by another worker leaves a file without a row, which is swept up, too.
        with stored(copy.file, File(made.file), ending=".m4a"):
            LightCopy.objects.filter(pk=copy.pk, made_at=None).update(
                file=copy.file.name, failure="", made_at=timezone.now(), **facts
            )


def _facts(measured: Measurement) -> dict:
    return {
        "sha256": measured.sha256,
        "size_bytes": measured.size_bytes,
        "codec": measured.codec,
        "bit_rate": round(8 * measured.size_bytes / measured.duration_seconds),
        "channels": measured.channels,
        "duration_seconds": float(measured.duration_seconds),
        "integrated_lufs": measured.integrated_lufs,
        "true_peak_dbtp": measured.true_peak_dbtp,
    }


def _last_line(error: Exception) -> str:
    return (str(error).strip().splitlines() or [type(error).__name__])[-1]
