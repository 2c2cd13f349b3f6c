from gear.acting import action
from sessions.deliverables.listening.models import MixNote, Verdict
from sessions.deliverables.listening.song_places import place_at, song_places
from sessions.deliverables.models import Deliverable
from sessions.songs.models import LyricLine, Section


@action
def add_note(
    deliverable: Deliverable,
    *,
    text: str,
    seconds: float | None,
    section: Section | None = None,
    line: LyricLine | None = None,
    said_by: str = "",
    by,
) -> MixNote:
    """Keep what was said about a place in the mix; without `seconds` about the whole of it.

    Without a section or line the note hangs on the one that is on at that time, where the song
    tells. `by` may be None for somebody without an account, who is `said_by` a name.
    """
    if seconds is not None and section is None and line is None:
        place = place_at(song_places(deliverable.song), seconds - deliverable.bar_one_seconds)
        if place:
            section, line = (place.of, None) if place.is_section else (None, place.of)
    return MixNote.objects.create(
        deliverable=deliverable,
        seconds=seconds,
        section=line.section if line else section,
        line=line,
        text=text,
        said_by=said_by or str(by),
        by=by,
    )


@action
def set_bar_one(deliverable: Deliverable, *, seconds: float, by) -> None:
    """Say where bar 1 of the song begins in its files, so that sections and lines lead there."""
    deliverable.bar_one_seconds = seconds
    deliverable.save()


@action
def give_verdict(
    deliverable: Deliverable, *, choice: str, text: str = "", said_by: str = "", by
) -> Verdict:
    """Approve this version of a mix, or want changes. What was said before is kept; this counts."""
    return Verdict.objects.create(
        deliverable=deliverable, choice=choice, text=text, said_by=said_by or str(by), by=by
    )
