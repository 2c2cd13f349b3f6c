"""What a session leaves to do, read from its records; what somebody wrote down comes beside it."""

from collections.abc import Iterable

from gear.equipment.models import Fault, FaultState
from sessions.deliverables.models import Deliverable, DeliverableKind
from sessions.songs.models import Part, Song
from sessions.takes.models import Mark, Take


def left_in_songs(songs: list[Song], takes: Iterable[Take]) -> list[str]:
    """Parts of these songs without a chosen take, the session's takes on hold, rough mixes owed.

    Three queries.
    """
    chosen = Take.objects.chosen().filter(song__in=songs).order_by().values_list("part", "song")
    decided = list(chosen)
    return [
        *_undecided(songs, {part for part, _ in decided}),
        *(
            f"{take.part.song}, {take.part}: take {take.number} is on hold"
            for take in takes
            if take.mark == Mark.HOLD
        ),
        *_without_rough_mix(songs, {song for _, song in decided}),
    ]


def faults_left(faults: Iterable[Fault]) -> list[str]:
    return [f"{fault.unit}: {fault}" for fault in faults if fault.state != FaultState.CLOSED]


def _undecided(songs: list[Song], decided: set[int]) -> list[str]:
    parts = Part.objects.filter(song__in=songs).select_related("song")
    parts = parts.order_by("song__title", "song", "position", "name", "pk")
    return [f"{part.song}, {part}: no take is chosen" for part in parts if part.pk not in decided]


def _without_rough_mix(songs: list[Song], begun: set[int]) -> list[str]:
    """Songs that have chosen takes to be mixed, and no rough mix of any session yet."""
    mixes = Deliverable.objects.filter(song__in=songs, kind=DeliverableKind.ROUGH_MIX)
    mixed = set(mixes.order_by().values_list("song", flat=True))
    return [f"{song}: no rough mix yet" for song in songs if song.pk in begun - mixed]
