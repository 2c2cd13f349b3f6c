"""Sections and lyric lines of a song as places in time, from bar 1 on."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.core.exceptions import ValidationError

from sessions.deliverables.listening.models import time_in_words
from sessions.deliverables.models import Deliverable
from sessions.songs.models import LyricLine, Section, Song
from sessions.songs.places import Place, read_place


@dataclass(frozen=True)
class SongPlace:
    """`seconds` is None where nobody said, or the song has no tempo to tell by."""

    of: Section | LyricLine
    seconds: float | None

    @property
    def is_section(self) -> bool:
        return isinstance(self.of, Section)

    @property
    def time(self) -> str:
        return "" if self.seconds is None else time_in_words(self.seconds)


def song_places(song: Song) -> list[SongPlace]:
    """All of them in the order of reading. Two queries."""
    timeline, found = song.timeline, []
    for section in song.sections.prefetch_related("lines"):
        begins = _seconds(Place(section.first_bar) if section.first_bar else None, timeline)
        lines = [
            SongPlace(line, _seconds(read_place(line.place) if line.place else None, timeline))
            for line in section.lines.all()
        ]
        if lines and lines[0].seconds is not None:  # a pick-up is sung before the section's bar
            begins = lines[0].seconds if begins is None else min(begins, lines[0].seconds)
        elif lines:
            lines[0] = SongPlace(lines[0].of, begins)
        found += [SongPlace(section, begins), *lines]
    return found


def place_at(places: Sequence[SongPlace], seconds: float) -> SongPlace | None:
    """The section or line that has begun last at that time; of two at once the line."""
    begun = [each for each in places if each.seconds is not None and each.seconds <= seconds]
    return max(reversed(begun), key=lambda each: each.seconds, default=None)


def seconds_of(text: str, deliverable: Deliverable) -> float:
    """Where in its files a place lies that was typed: 1:23.5 as the player shows it, or bar 17.

    Raises ValidationError with a sentence for the user.
    """
    place = read_place(text)
    try:
        seconds = place.at(deliverable.song.timeline)
    except ValueError as error:
        raise ValidationError(f"{place} is not in the song: {error}.") from None
    if seconds is None:
        raise ValidationError(
            "The song has no tempo or time signature, so a bar can’t be found: type minutes and "
            "seconds, such as 1:23.5."
        )
    begins = deliverable.bar_one_seconds if place.seconds is None else 0.0
    return max(0.0, float(seconds) + begins)


def _seconds(place: Place | None, timeline) -> float | None:
    try:
        seconds = place and place.at(timeline)
    except ValueError:  # the song's time signature was another when the line got its place
        return None
    return None if seconds is None else max(0.0, float(seconds))
