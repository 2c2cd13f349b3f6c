from pathlib import PurePath

from django.db import transaction

from sessions.recall.models import CarriedRecall
from sessions.songs.models import Song


class CarryRefused(Exception):
    """The recall can't be kept or put away like that; the message says why."""


def look_at(data: dict, *, file_name: str, by) -> CarriedRecall:
    """Put down data that `reading.read_recall` has checked, for `by` to look at before it is kept."""
    return CarriedRecall.objects.create(
        data=data,
        file_name=PurePath(file_name).name[:200],
        studio=data["studio"][:200],
        title=data["song"]["title"][:200],
        carried_by=by,
    )


@transaction.atomic
def keep(carried: CarriedRecall, *, song: Song) -> CarriedRecall:
    """Make it a recall of the song. Raises CarryRefused when it is one already."""
    current = CarriedRecall.objects.select_for_update().get(pk=carried.pk)
    if current.song_id is not None:
        raise CarryRefused("It is kept already.")
    current.song = song
    current.save(update_fields=["song"])
    return current


@transaction.atomic
def put_away(carried: CarriedRecall) -> None:
    """Forget what was only looked at. Raises CarryRefused for one that is kept."""
    current = CarriedRecall.objects.select_for_update().get(pk=carried.pk)
    if current.song_id is not None:
        raise CarryRefused(f"It is kept as a recall of {current.song}, so it stays.")
    current.delete()
