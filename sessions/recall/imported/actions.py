from pathlib import PurePath

from django.db import transaction

from gear.acting import action
from sessions.clients.models import Client, Project
from sessions.recall.imported.alike import cleaned
from sessions.recall.models import ImportedSheet
from sessions.songs.models import Part, Song


class ImportRefused(Exception):
    """The sheet can't be kept or discarded like that; the message says why."""


@action
def import_sheet(data: dict, *, file_name: str, by) -> ImportedSheet:
    """A preview, which only `by` sees, of data that `reading.read_recall` has checked."""
    return ImportedSheet.objects.create(
        data=data,
        file_name=cleaned(PurePath(file_name).name, 200),
        studio=cleaned(data["studio"], 200),
        title=cleaned(data["song"]["title"], 200),
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


@action
def import_as_new(
    imported: ImportedSheet, *, client: Client | None, project: Project, song: Song, parts, by
) -> ImportedSheet:
    """Keep the sheet for a song that is made with it: in a project that is here, or, with a client, in
    one that is new; the client may be new, too. `parts`: names, each with who played it. Raises
    ImportRefused when it is kept already."""
    if client is not None:
        if client.pk is None:
            client.save()
        project.client = client
    if project.pk is None:
        project.save()
    song.project = project
    song.save()
    for place, (name, performer) in enumerate(parts, 1):
        note = f"In the imported sheet: {performer}" if performer else ""
        Part.objects.create(song=song, position=place, name=name, note=note)
    return assign_song(imported, song=song)


@transaction.atomic
def discard_sheet(imported: ImportedSheet) -> None:
    """Delete a preview. Raises ImportRefused for a sheet that is kept."""
    current = ImportedSheet.objects.select_for_update().get(pk=imported.pk)
    if current.song_id is not None:
        raise ImportRefused(f"It is imported for {current.song}, so it can’t be discarded.")
    current.delete()
