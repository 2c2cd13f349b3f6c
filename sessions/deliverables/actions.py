from collections.abc import Callable
from dataclasses import asdict

from django.conf import settings
from django.core.files import File
from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from gear.acting import action
from sessions.clients.orders import MIX_KINDS
from sessions.deliverables.formats import format_of
from sessions.deliverables.measuring import Measurement, measure_in_child
from sessions.deliverables.mixes.actions import point_to_newest
from sessions.deliverables.models import Deliverable, DeliverableFile, FileState
from sessions.songs.models import Song
from sessions.storing import printable_name, stored, sweep_incoming


def hand_in(
    song: Song,
    *,
    kind: str,
    upload: File,
    note: str,
    by,
    add_to: Deliverable | None = None,
    then: Callable[[Deliverable], None] = lambda made: None,
) -> Deliverable:
    """Measure a sound file and keep it as the song's next version of that kind, or with those of
    `add_to`.

    `upload` is a file on the disk: an upload that came in through a form is moved into the store,
    any other (`File(path.open("rb"), name=path.name)`) is copied. It is measured and stored before
    the transaction, which holds nothing slow and ends with `then`; whatever fails, no row and no
    file is left.

    Raises UnmeasurableFile, whose text is a sentence for the user.
    """
    sweep_incoming()
    measured = measure_in_child(upload.file.name, largest_bytes=settings.UPLOAD_LIMIT_BYTES)
    audio = DeliverableFile(original_name=printable_name(upload.name), **_facts(measured))
    ending = format_of(measured.container).ending
    with stored(audio.file, upload, ending=ending), transaction.atomic():
        deliverable = _put_on_record(song, audio, add_to=add_to, kind=kind, note=note, by=by)
        then(deliverable)
    return deliverable


@action
def _put_on_record(
    song: Song, audio: DeliverableFile, *, add_to: Deliverable | None, kind: str, note: str, by
) -> Deliverable:
    Song.objects.select_for_update(no_key=True).get(pk=song.pk)  # one version at a time
    audio.deliverable = add_to or _next_version(song, kind=kind, note=note, by=by)
    audio.save()
    return audio.deliverable


def _next_version(song: Song, *, kind: str, note: str, by) -> Deliverable:
    versions = Deliverable.objects.filter(song=song, kind=kind)
    newest = versions.aggregate(newest=Max("version"))["newest"] or 0
    deliverable = Deliverable(song=song, kind=kind, version=newest + 1, note=note, created_by=by)
    deliverable.save()
    if kind in MIX_KINDS:
        point_to_newest(deliverable, by=by)
    return deliverable


def _facts(measured: Measurement) -> dict:
    """The measurement as the fields of an DeliverableFile, which have the same names."""
    return asdict(measured) | {
        "duration_seconds": float(measured.duration_seconds),
        "state": FileState.MEASURED,
        "progress_percent": 100,
        "measured_at": timezone.now(),
    }
