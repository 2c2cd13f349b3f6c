"""What was ordered for a song, the newest of each kind, and whether that one passes."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import OuterRef, Subquery

from sessions.clients.orders import DeliverableKind
from sessions.deliverables.models import Deliverable
from sessions.songs.models import Song

from .checks import Check, Checked
from .every import checks_of_each


@dataclass(frozen=True)
class Due:
    """`made` is None, and so is `checked`, where nothing of the kind was uploaded yet."""

    kind: DeliverableKind
    made: Deliverable | None = None
    checked: Checked | None = None

    @property
    def is_left(self) -> bool:
        """Whether it is still to deliver: not there, or failed."""
        return self.checked is None or self.checked.fails > 0


def due(
    kinds: Iterable[DeliverableKind],
    made: Iterable[Deliverable],
    checks: Mapping[int, list[Check]],
) -> list[Due]:
    newest = {each.kind: each for each in sorted(made, key=lambda each: each.version)}
    return [
        Due(kind, each, Checked.of(checks[each.pk])) if (each := newest.get(kind)) else Due(kind)
        for kind in kinds
    ]


def due_for(songs: Iterable[Song], kinds: list[DeliverableKind]) -> dict[int, list[Due]]:
    """By the songs' keys. Five queries."""
    songs = list(songs)
    same = Deliverable.objects.filter(song=OuterRef("song"), kind=OuterRef("kind"))
    newest = Subquery(same.order_by("-version").values("pk")[:1])
    found = list(Deliverable.objects.for_list().filter(song__in=songs, pk=newest))
    checks, of_song = checks_of_each(found), defaultdict(list)
    for each in found:
        of_song[each.song_id].append(each)
    return {song.pk: due(kinds, of_song[song.pk], checks) for song in songs}
