"""What a session leaves to do, read from its records; what somebody wrote down comes beside it."""

from collections.abc import Iterable

from gear.equipment.models import Fault, FaultState
from sessions.songs.models import Part, Song
from sessions.takes.models import Mark, Take


def left_to_do(songs: Iterable[Song], takes: Iterable[Take], faults: Iterable[Fault]) -> list[str]:
    """Parts of these songs without a chosen take, the session's takes on hold, its open faults.

    Two queries.
    """
    chosen = Take.objects.chosen().filter(song__in=songs).values_list("part", flat=True)
    parts = Part.objects.filter(song__in=songs).select_related("song")
    parts = parts.order_by("song__title", "song", "position", "name", "pk")
    decided = set(chosen.order_by())
    return [
        *(f"{part.song}, {part}: no take is chosen" for part in parts if part.pk not in decided),
        *(
            f"{take.part.song}, {take.part}: take {take.number} is on hold"
            for take in takes
            if take.mark == Mark.HOLD
        ),
        *(f"{fault.unit}: {fault}" for fault in faults if fault.state != FaultState.CLOSED),
    ]
