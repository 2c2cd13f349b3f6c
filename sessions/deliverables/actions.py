from collections.abc import Callable
from pathlib import Path, PurePath
from uuid import UUID

from django.core.files import File
from django.db.models import Max

from gear.acting import action
from sessions.clients.orders import MIX_KINDS
from sessions.deliverables.formats import FORMATS
from sessions.deliverables.measured import facts_of, measure
from sessions.deliverables.mixes.actions import point_to_newest
from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.songs.models import Song
from sessions.storing import LONGEST_NAME, linked, printable_name, stored

LONGEST_ENDING = 20  # letters; what is longer is part of the name
ENDINGS = {ending for format in FORMATS.values() for ending in format.endings}


def take_in(
    song: Song,
    *,
    path: Path,
    name: str,
    kind: str,
    by,
    limiting: str = "",
    note: str = "",
    batch: UUID | None = None,
    add_to: Deliverable | None = None,
    then: Callable[[DeliverableFile], None] = lambda file: None,
) -> DeliverableFile:
    """Put a file that has arrived on record, where it waits to be measured by the worker.

    It becomes one of `add_to`'s files, or of the deliverable that its batch is; the first of a batch,
    or one without, makes the next version of that kind. The store gets the file under another name:
    the one at `path` stays until the caller, who knows by then that the rows are there, removes it.
    The transaction ends with `then`; whatever fails, no row and no file is left.

    Raises OSError, also where the disk is full.
    """

    def wait_for_worker(file: DeliverableFile) -> None:
        then(file)
        measure.enqueue(file.pk)

    file = DeliverableFile(original_name=printable_name(name), size_bytes=path.stat().st_size)
    facts = {"kind": kind, "limiting": limiting, "note": note, "batch": batch, "add_to": add_to}
    with linked(path) as upload, stored(file.file, upload, ending=_ending(file)):
        _put_on_record(song, file, by=by, then=wait_for_worker, **facts)
    return file


def hand_in(
    song: Song,
    *,
    kind: str,
    upload: File,
    note: str = "",
    limiting: str = "",
    add_to: Deliverable | None = None,
    by,
) -> Deliverable:
    """Measure a file of this machine's at once and put it on record, for whoever has no worker.

    It is copied into the store (`File(path.open("rb"), name=path.name)`). It is measured and stored
    before the transaction, which holds nothing slow; whatever fails, no row and no file is left.

    Raises UnmeasurableFile, whose text is a sentence for the user.
    """
    path = Path(upload.file.name)
    facts = {"kind": kind, "note": note, "limiting": limiting, "add_to": add_to}
    file = DeliverableFile(original_name=printable_name(upload.name), **facts_of(path, kind))
    with stored(file.file, upload, ending=_ending(file)):
        _put_on_record(song, file, by=by, **facts)
    return file.deliverable


@action
def _put_on_record(
    song: Song,
    file: DeliverableFile,
    *,
    batch: UUID | None = None,
    add_to: Deliverable | None = None,
    by,
    then: Callable[[DeliverableFile], None] = lambda file: None,
    **facts,
) -> None:
    Song.objects.select_for_update(no_key=True).get(pk=song.pk)  # one version, one name at a time
    deliverable = add_to or _of_batch(song, batch, by) or _next_version(song, batch, by, **facts)
    file.deliverable = deliverable
    file.original_name = _name_of_its_own(file, deliverable)
    file.save()
    then(file)


def _of_batch(song: Song, batch: UUID | None, by) -> Deliverable | None:
    return batch and song.deliverables.filter(batch=batch, created_by=by).first()


def _next_version(song: Song, batch: UUID | None, by, *, kind: str, **facts) -> Deliverable:
    versions = Deliverable.objects.filter(song=song, kind=kind)
    newest = versions.aggregate(newest=Max("version"))["newest"] or 0
    if batch and Deliverable.objects.filter(batch=batch).exists():
        batch = None  # somebody else has this number, of all there are
    deliverable = Deliverable.objects.create(
        song=song, kind=kind, version=newest + 1, batch=batch, created_by=by, **facts
    )
    if kind in MIX_KINDS:
        point_to_newest(deliverable, by=by)
    return deliverable


def _name_of_its_own(file: DeliverableFile, deliverable: Deliverable) -> str:
    """As it was sent, or numbered where the deliverable has one of that name: whoever unpacks them
    in one folder has both. Some file systems tell no capital letters apart."""
    taken = {name.casefold() for name in deliverable.files.values_list("original_name", flat=True)}
    name, number = file.original_name, 1
    while name.casefold() in taken:
        number += 1
        ending = PurePath(file.original_name).suffix[-LONGEST_ENDING:]
        start = file.original_name.removesuffix(ending)
        more = f" ({number}){ending}"
        name = start[: LONGEST_NAME - len(more)] + more
    return name


def _ending(file: DeliverableFile) -> str:
    """In the store, where its name is ours: before it is measured there is only the sender's."""
    ending = file.format.ending if file.container else PurePath(file.original_name).suffix.lower()
    return ending if ending in ENDINGS else ".bin"
