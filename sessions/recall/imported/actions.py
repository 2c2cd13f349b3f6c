from pathlib import PurePath

from django.db import transaction

from gear.acting import action
from sessions.recall.models import ImportedSheet
from sessions.songs.models import Song


class ImportRefused(Exception):
    """The sheet can't be kept or discarded like that; the message says why."""


@action
def import_sheet(data: dict, *, file_name: str, by) -> ImportedSheet:
    """A preview, which only `by` sees, of data that `reading.read_recall` has checked."""
    return ImportedSheet.objects.create(
        data=data,
        file_name=PurePath(file_name).name[:200],
        studio=data["studio"][:200],
        title=data["song"]["title"][:200],
        imported_by=by,
    )


@transaction.atomic
def assign_song(imported: ImportedSheet, *, song: Song) -> ImportedSheet:
    """Keep the sheet for a song. Raises ImportRefused when it is kept already."""
    current = ImportedSheet.objects.select_for_update().get(pk=imported.pk)
    if current.song_id is not None:
        raise ImportRefused("It is imported already.")
    current.song = song
    current.save(update_fields=["song"])
    return current


@transaction.atomic
def discard_sheet(imported: ImportedSheet) -> None:
    """Delete a preview. Raises ImportRefused for a sheet that is kept."""
    current = ImportedSheet.objects.select_for_update().get(pk=imported.pk)
    if current.song_id is not None:
        raise ImportRefused(f"It is imported for {current.song}, so it can’t be discarded.")
    current.delete()
