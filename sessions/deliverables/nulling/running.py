"""The null test as work off the request: what can't be compared is said, what can is kept."""

import json
from collections.abc import Sequence
from contextlib import ExitStack

from django.utils import timezone
from django_tasks import task

from gear.acting import action
from sessions.clients.orders import MIX_KINDS
from sessions.deliverables.models import Deliverable, DeliverableFile, FileState
from sessions.deliverables.nulling.models import NullTest, NullTestState
from sessions.limited import ChildFailed, TookTooLong, run_limited
from sessions.storing import local_copy
from sessions.tasks.models import SOUND

MEMORY_BYTES = 1 << 30
CPU_SECONDS, WALL_SECONDS = 3600, 7200
DEEPEST_BITS = 24  # a floating-point file holds as many


class CannotCompare(ValueError):
    """The files can't be summed against each other; the text is a sentence for the user."""


def mixes_for(stems: Deliverable) -> list[DeliverableFile]:
    """What the stems may be held against: measured mixes of the song, the newest first; one query."""
    files = DeliverableFile.objects.filter(
        deliverable__song=stems.song_id, deliverable__kind__in=MIX_KINDS, state=FileState.MEASURED
    )
    return list(files.select_related("deliverable").order_by("-deliverable__created_at", "-pk"))


def files_of(stems: Deliverable) -> list[DeliverableFile]:
    """Those that are summed: what was refused isn't there."""
    return [file for file in stems.files.all() if file.state != FileState.REFUSED]


@action
def start(stems: Deliverable, *, mix: DeliverableFile, by) -> NullTest:
    """One that waits or is under way for the same pair is not started again. Raises CannotCompare."""
    refuse_what_differs(files_of(stems), mix)
    Deliverable.objects.select_for_update(no_key=True).get(pk=stems.pk)
    if begun := NullTest.objects.under_way().filter(stems=stems, mix=mix).first():
        return begun
    test = NullTest.objects.create(stems=stems, mix=mix, started_by=by)
    run_null_test.enqueue(test.pk)
    return test


@task(queue_name=SOUND)
def run_null_test(key: int) -> None:
    """Run twice, the second finds it done, or does the same again."""
    test = NullTest.objects.with_subjects().filter(pk=key).first()
    if test is None or test.has_ended:
        return
    test.state = NullTestState.RUNNING
    test.save(update_fields=["state"])
    run(test)


def run(test: NullTest) -> None:
    files = files_of(test.stems)
    try:
        refuse_what_differs(files, test.mix)
        test.figures = _figures(files, test.mix)
    except CannotCompare as refusal:
        test.state, test.refusal = NullTestState.FAILED, str(refusal)
    else:
        test.state = NullTestState.DONE
        test.names = [file.original_name for file in files]
        test.rate = test.mix.sample_rate
        test.bits = min(
            min(file.bit_depth or DEEPEST_BITS, DEEPEST_BITS) for file in [*files, test.mix]
        )
    test.ended_at = timezone.now()
    test.save()


def refuse_what_differs(stems: Sequence[DeliverableFile], mix: DeliverableFile) -> None:
    """Raises CannotCompare where a sum would say nothing."""
    if not stems:
        raise CannotCompare("There are no stems to sum.")
    for file in [*stems, mix]:
        if not file.is_measured:
            raise CannotCompare(f"{file} is not measured: try again once it is.")
        if not file.lossless:
            raise CannotCompare(f"{file} is lossy and never nulls: upload WAV instead.")
    for stem in stems:
        if stem.sample_rate != mix.sample_rate:
            raise CannotCompare(
                f"{stem} has {stem.rate_in_words}, {mix} {mix.rate_in_words}: only files of one "
                "sample rate can be subtracted. Print them again at the same rate."
            )
        if stem.channels not in (1, mix.channels):
            raise CannotCompare(
                f"{stem} has {stem.channels_in_words}, {mix} {mix.channels_in_words}: a stem needs "
                "one channel or as many as the mix."
            )


def _figures(stems: Sequence[DeliverableFile], mix: DeliverableFile) -> dict:
    with ExitStack() as stack:

        def sound(file: DeliverableFile) -> dict:
            return {
                "path": str(stack.enter_context(local_copy(file.file)).resolve()),
                "frames": file.frames,
                "channels": file.channels,
                "start": file.bext["time_reference"] if file.bext else None,
            }

        asked = {
            "rate": mix.sample_rate,
            "stems": [sound(file) for file in stems],
            "mix": sound(mix),
        }
        try:
            answer = run_limited(
                __package__,
                memory_bytes=MEMORY_BYTES,
                cpu_seconds=CPU_SECONDS,
                wall_seconds=WALL_SECONDS,
                content=[json.dumps(asked).encode()],
            )
        except TookTooLong:
            raise CannotCompare("It took too long: the files are too many or too long.") from None
        except ChildFailed as error:
            raise CannotCompare(
                "A file could not be decoded to its end: copy or export the stems again."
            ) from error
    return json.loads(answer)
