"""What a session leaves to do, read from its records; what somebody wrote down comes beside it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from gear.equipment.models import Fault, FaultState
from sessions.deliverables.models import Deliverable, DeliverableKind
from sessions.songs.models import Part, Section, Song
from sessions.takes.models import CompChoice, Mark, Take, TakePart


def left_in_songs(songs: list[Song], takes: Iterable[TakePart]) -> list[str]:
    """Parts of these songs without a chosen take, comps with gaps, the session's takes on hold.

    Five queries.
    """
    parts = list(
        Part.objects.filter(song__in=songs)
        .select_related("song")
        .order_by("song__title", "song", "position", "name", "pk")
    )
    return [*_undecided(parts), *_gaps_in_comps(parts), *_on_hold(takes)]


def owed_for(songs: list[Song], ordered: list[DeliverableKind]) -> list[str]:
    """What was ordered for the songs that have chosen takes and was not handed in by any session.

    Two queries.
    """
    chosen = Take.objects.chosen().filter(song__in=songs)
    begun = set(chosen.order_by().values_list("song", flat=True))
    made = Deliverable.objects.filter(song__in=songs)
    handed_in = set(made.order_by().values_list("song", "kind"))
    return [
        f"{song}: no {kind.label.lower()} yet"
        for song in songs
        if song.pk in begun
        for kind in ordered
        if (song.pk, kind) not in handed_in
    ]


def faults_left(faults: Iterable[Fault]) -> list[str]:
    return [f"{fault.unit}: {fault}" for fault in faults if fault.state != FaultState.CLOSED]


def _undecided(parts: list[Part]) -> list[str]:
    chosen = TakePart.objects.chosen().filter(part__in=parts).order_by()
    decided = set(chosen.values_list("part", flat=True))
    return [f"{part.song}, {part}: no take is chosen" for part in parts if part.pk not in decided]


def _on_hold(takes: Iterable[TakePart]) -> Iterator[str]:
    for each in takes:
        if each.mark == Mark.HOLD:
            yield f"{each.take.song}, {each.part}: take {each.take.number} is on hold"


def _gaps_in_comps(parts: list[Part]) -> Iterator[str]:
    """Of parts whose comp was begun: the sections, or the lines in them, that have no take yet."""
    choices = CompChoice.objects.filter(part__in=parts).order_by("pk")
    chosen = defaultdict(set)
    for part, section, line in choices.values_list("part", "section", "line"):
        chosen[part].add(("section", section) if section else ("line", line))
    sections = Section.objects.filter(song__in={part.song_id for part in parts if chosen[part.pk]})
    sections = list(sections.prefetch_related("lines"))
    for part in parts:
        open_in = [
            words
            for section in sections
            if section.song_id == part.song_id and chosen[part.pk]
            if (words := _open_in(section, chosen[part.pk]))
        ]
        if open_in:
            yield f"{part.song}, {part}: the comp has no take yet for {', '.join(open_in)}"


def _open_in(section: Section, chosen: set[tuple[str, int]]) -> str:
    """The section's name, with how many of its lines are open where others are not."""
    if ("section", section.pk) in chosen:
        return ""
    lines = list(section.lines.all())
    without = [line for line in lines if ("line", line.pk) not in chosen]
    if lines and not without:
        return ""
    if len(without) == len(lines):
        return section.name
    return f"{section.name} ({len(without)} of {len(lines)} lines)"
