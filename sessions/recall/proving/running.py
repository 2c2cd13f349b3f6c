"""The return of a test file, read off the request in a child with limits."""

import json
import time
from collections.abc import Callable
from dataclasses import replace

from django.db import transaction
from django.utils import timezone
from django_tasks import TaskResultStatus, task
from django_tasks_db.models import DBTaskResult

from gear.audio.proving.cable import less_cable
from gear.audio.proving.result import Result
from sessions.limited import ChildFailed, TookTooLong, TookTooMuchMemory, run_limited
from sessions.recall.proving.models import Depth, Measurement, MeasurementState
from sessions.storing import local_copy
from sessions.tasks.models import SOUND

MEMORY_BYTES = 1 << 30
CPU_SECONDS, WALL_SECONDS = 120, 600
SAVED_EVERY = 1  # seconds, of the progress


class NotRead(ValueError):
    """Why the return gave no result; the text is a sentence for the user."""


@task(queue_name=SOUND)
def read_return(key: int) -> None:
    """Run twice, the second finds it done, or does the same again."""
    measurement = Measurement.objects.under_way().filter(pk=key, undone_at=None).first()
    if measurement is None:
        return
    rows = Measurement.objects.under_way().filter(pk=key)
    rows.update(state=MeasurementState.RUNNING, progress=0)
    try:
        told, refusal = _read(measurement, said=_saved_in(rows)), ""
    except NotRead as problem:
        told, refusal = None, str(problem)
    _keep(key, told=told, refusal=refusal)


def read_forgotten() -> None:
    """Have those read whose task failed or was lost."""
    tasks = DBTaskResult.objects.filter(task_path=read_return.module_path)
    if not tasks.filter(status__in=(TaskResultStatus.READY, TaskResultStatus.RUNNING)).exists():
        waiting = Measurement.objects.under_way().filter(undone_at=None)
        for key in waiting.values_list("pk", flat=True):
            read_return.enqueue(key)


@transaction.atomic
def _keep(key: int, *, told: dict | None, refusal: str) -> None:
    """The recording goes with a result, unless somebody wants it: what it says is in the figures, and
    it may be played and recorded again. Its file is swept up where no row has it."""
    rows = Measurement.objects.under_way().select_for_update(no_key=True)
    measurement = rows.filter(pk=key).first()
    if measurement is None:
        return
    if measurement.is_closed:
        told, refusal = None, "Its rebuild was finished before this was read."
    if told is None:
        measurement.state, measurement.refusal = MeasurementState.FAILED, refusal
    else:
        if measurement.depth == Depth.TONES:
            measurement.tones = _tones(measurement, told["tones"])
        else:
            measurement.result = _result(measurement, told["result"])
        measurement.state = MeasurementState.DONE
        measurement.measured_at = timezone.now()
    measurement.progress = 100
    if told is None or not measurement.is_recording_kept:
        measurement.recording = ""
    measurement.save()


def _result(measurement: Measurement, told: dict) -> dict:
    found, cable = Result.from_json(told), measurement.cable and measurement.cable.found
    return (less_cable(found, cable) if cable else found).as_json()


def _tones(measurement: Measurement, told: list[dict]) -> list[dict]:
    """In dBu at the converter, without what a cable measured before gave."""
    cable = measurement.cable and measurement.cable.found
    more = measurement.full_scale_dbu - ((cable and cable.gain_db) or 0.0)
    levels = {each["hertz"]: each["dbfs"] for each in told}
    said = {each["hertz"]: tuple(each["said"]) for each in told}
    return [
        replace(
            tone,
            read_dbu=None if levels[tone.hertz] is None else round(levels[tone.hertz] + more, 3),
            said=said[tone.hertz],
        ).as_json()
        for tone in measurement.tones_read
    ]


def _read(measurement: Measurement, *, said: Callable[[int], None]) -> dict:
    with local_copy(measurement.recording) as path:
        try:
            answer = run_limited(
                __package__,
                str(path.resolve()),
                memory_bytes=MEMORY_BYTES,
                cpu_seconds=CPU_SECONDS,
                wall_seconds=WALL_SECONDS,
                content=[json.dumps(measurement.plan).encode()],
                said=lambda line: said(int(line)) if line.strip().isdecimal() else None,
            )
        except TookTooLong:
            raise NotRead("Reading it took too long: it may be damaged. Export it again.") from None
        except TookTooMuchMemory:
            raise NotRead(
                "Reading it took more memory than is allowed: export the return alone, as one channel."
            ) from None
        except ChildFailed:
            raise NotRead("It could not be decoded: export it again, as WAV.") from None
    told = json.loads(answer)
    if "refusal" in told:
        raise NotRead(told["refusal"])
    return told


def _saved_in(rows) -> Callable[[int], None]:
    saved_at = time.monotonic()

    def save(percent: int) -> None:
        nonlocal saved_at
        if time.monotonic() - saved_at >= SAVED_EVERY:
            saved_at = time.monotonic()
            rows.update(progress=min(percent, 99))

    return save
