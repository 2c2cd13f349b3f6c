"""Measuring off the request: by the worker, once a file has arrived."""

import hashlib
import time
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

from django.conf import settings
from django.utils import timezone
from django_tasks import TaskResultStatus, task
from django_tasks_db.models import DBTaskResult

from gear.editing.history import update_with_history
from sessions.deliverables.measuring import UnmeasurableFile, measure_in_child
from sessions.deliverables.models import SOUND_KINDS, DeliverableFile, FileState
from sessions.storing import local_copy
from sessions.tasks.models import SOUND

BLOCK_BYTES = 1 << 20
SAVED_EVERY = 1  # seconds, of the progress

Progress = Callable[[int], None]  # is told how many percent are done


@task(queue_name=SOUND)
def measure(key: int) -> None:
    """Measure a file that waits, and keep the figures or why there are none. Run twice, it is
    measured once; one whose worker died is measured anew."""
    unfinished = DeliverableFile.objects.unfinished().filter(pk=key)
    file = unfinished.select_related("deliverable").first()
    if file is None:
        return
    unfinished.update(state=FileState.MEASURING, progress_percent=0)
    try:
        with local_copy(file.file) as path:
            facts = facts_of(path, file.deliverable.kind, progress=_saved_in(unfinished))
    except UnmeasurableFile as refusal:
        stored = file.file.name
        facts = {"state": FileState.REFUSED, "refusal": str(refusal), "file": ""}
        if update_with_history(unfinished, **facts, measured_at=timezone.now()):
            file.file.storage.delete(stored)
    else:
        update_with_history(unfinished, **facts)


def measure_forgotten() -> None:
    """Have files measured whose task failed, for want of memory, say, or was lost."""
    tasks = DBTaskResult.objects.filter(task_path=measure.module_path)
    if not tasks.filter(status__in=(TaskResultStatus.READY, TaskResultStatus.RUNNING)).exists():
        for key in DeliverableFile.objects.unfinished().values_list("pk", flat=True):
            measure.enqueue(key)


def facts_of(path: Path, kind: str, progress: Progress = lambda percent: None) -> dict:
    """All that is known of a file once it is measured, as the fields of a DeliverableFile, which
    have the same names. Raises UnmeasurableFile."""
    done = {"progress_percent": 100, "measured_at": timezone.now()}
    if kind not in SOUND_KINDS:
        sha256 = _sha256_of(path, progress)
        return done | {
            "state": FileState.AS_IS,
            "sha256": sha256,
            "size_bytes": path.stat().st_size,
        }
    longest = settings.SOUND_LIMIT_HOURS * 60 * 60
    measured = measure_in_child(path, progress=progress, longest_seconds=longest)
    return (
        done
        | asdict(measured)
        | {"state": FileState.MEASURED, "duration_seconds": float(measured.duration_seconds)}
    )


def _sha256_of(path: Path, progress: Progress) -> str:
    digest, done, size = hashlib.sha256(), 0, path.stat().st_size
    with path.open("rb") as file:
        while block := file.read(BLOCK_BYTES):
            digest.update(block)
            done += len(block)
            progress(100 * done // size)
    return digest.hexdigest()


def _saved_in(files) -> Progress:
    saved_at = time.monotonic()

    def save(percent: int) -> None:
        nonlocal saved_at
        if time.monotonic() - saved_at >= SAVED_EVERY:
            saved_at = time.monotonic()
            files.update(progress_percent=min(int(percent), 99))

    return save
