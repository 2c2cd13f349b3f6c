"""What a session leaves to do, read from its records; what somebody wrote down comes beside it."""

from collections.abc import Iterable, Iterator

from gear.equipment.models import Fault, FaultState
from sessions.clients.orders import DeliverableKind
from sessions.deliverables.checking import Due, due_for
from sessions.songs.models import Part, Song
from sessions.takes.comp.lines import Comp
from sessions.takes.models import Mark, Take, TakePart


def left_in_songs(songs: list[Song], takes: Iterable[TakePart], comps: Iterable[Comp]) -> list[str]:
    """Parts of these songs without a chosen take, comps with gaps, the session's takes on hold.

    Two queries.
    """
    parts = list(
        Part.objects.filter(song__in=songs)
        .select_related("song")
        .order_by("song__title", "song", "position", "name", "pk")
    )
    return [*_undecided(parts), *_gaps(comps), *_on_hold(takes)]


def owed_for(songs: list[Song], ordered: list[DeliverableKind]) -> list[str]:
    """What was ordered for the songs that have chosen takes and wasn’t uploaded by any session, or
    fails the checks. Six queries.
    """
    chosen = Take.objects.chosen().filter(song__in=songs)
    begun = set(chosen.order_by().values_list("song", flat=True))
    found = due_for([song for song in songs if song.pk in begun], ordered)
    return [_owed(song, each) for song in songs for each in found.get(song.pk, ()) if each.is_left]


def _owed(song: Song, due: Due) -> str:
    if due.made is None:
        return f"{song}: no {due.kind.label.lower()} yet"
    return f"{song}: {due.made}, {', '.join(due.checked.in_words)}"


def faults_left(faults: Iterable[Fault]) -> list[str]:
    return [f"{fault.unit}: {fault}" for fault in faults if fault.state != FaultState.CLOSED]


def _undecided(parts: list[Part]) -> list[str]:
    chosen = TakePart.objects.chosen().filter(part__in=parts).order_by()
    decided = set(chosen.values_list("part", flat=True))
    return [f"{part.song}, {part}: no take is chosen" for part in parts if part.pk not in decided]


def _on_hold(takes: Iterable[TakePart]) -> Iterator[str]:
    for each in takes:
        if each.mark == Mark.HOLD and not each.take.withdrawn:
            yield f"{each.take.song}, {each.part}: take {each.take.number} is on hold"


def _gaps(comps: Iterable[Comp]) -> Iterator[str]:
    for comp in comps:
        if comp.gaps:
            part = f"{comp.part.song}, {comp.part}"
            yield f"{part}: the comp has no take yet for {', '.join(comp.gaps)}"
