"""Where lyric lines are sung: from the place that was typed before them to where the next one begins."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.core.exceptions import ValidationError

from gear.audio.tempo import Timeline
from sessions.songs.lyrics import WrittenLine
from sessions.songs.models import LyricLine, Section, Song
from sessions.songs.places import Place, check_points, read_place


@dataclass(frozen=True)
class LineSpan:
    """A line that has a place: in there, out where the next line or section that has one begins. An
    empty `punch_out` is the song’s end."""

    line: LyricLine
    punch_in: str
    punch_out: str


@dataclass(frozen=True)
class Stretch:
    """Of a song, from and to, by `Place.compared`."""

    begins: tuple
    ends: tuple

    def covers(self, other: "Stretch") -> bool | None:
        """Whether all of the other lies within it; None where a part does, or nobody can tell."""
        if self.begins[0] != other.begins[0]:
            return None
        if self.ends <= other.begins or self.begins >= other.ends:
            return False
        return True if self.begins <= other.begins and self.ends >= other.ends else None


@dataclass(frozen=True)
class _Beginning:
    of: Section | LyricLine
    place: Place | None
    at: tuple | None


def spans_of_lines(song: Song) -> list[LineSpan]:
    """Of lines with a place; the first of a section begins with it, where it has none of its own.
    Two queries."""
    return spans_in(song.sections.prefetch_related("lines"), song)


def spans_in(sections: Iterable[Section], song: Song) -> list[LineSpan]:
    """The same, of sections that come with their lines."""
    begun = _beginnings(sections, song.timeline)
    spans = []
    for index, each in enumerate(begun):
        if isinstance(each.of, LyricLine) and each.place:
            behind = _next(begun, index, each.at)
            spans.append(LineSpan(each.of, str(each.place), str(behind.place) if behind else ""))
    return spans


def stretches(sections: Iterable[Section], song: Song) -> dict[Section | LyricLine, Stretch]:
    """Where each lies, at the earliest and at the latest: what has no place of its own is sung between
    those that have one. Without an entry: nothing before it has one. Lines come prefetched."""
    begun = _beginnings(sections, song.timeline)
    found, begins = {}, None
    for index, each in enumerate(begun):
        begins = _with_pick_up(begun, index) or begins
        if begins:
            behind = _next(begun, index, begins)
            found[each.of] = Stretch(begins, behind.at if behind else _end(song, begins[0]))
    return found


def punched(punch_in: str, punch_out: str, timeline: Timeline | None) -> Stretch | None:
    """What a punch-in covers; an empty `punch_out` is the song’s end. None where a bar and a time can’t
    be compared, since the song has no tempo."""
    begins = read_place(punch_in).compared(timeline)
    ends = read_place(punch_out).compared(timeline) if punch_out else (begins[0], math.inf)
    return Stretch(begins, ends) if begins[0] == ends[0] else None


def check_places(song: Song, lines: Iterable[WrittenLine]) -> None:
    """That the places of the lines lie in the song, in order. Raises ValidationError."""
    problems, above = [], None
    for line in (line for line in lines if line.place):
        try:
            check_points(song, line.place, "")
        except ValidationError as refusal:
            problems += [f"“{line.text}”: {sentence}" for sentence in refusal.messages]
        at = read_place(line.place).compared(song.timeline)
        if above and above[0] == at[0] and at < above:
            problems.append(f"“{line.text}” ({line.place}) begins before a line above it.")
        above = at
    if problems:
        raise ValidationError(problems)


def _beginnings(sections: Iterable[Section], timeline: Timeline | None) -> list[_Beginning]:
    """All sections and lines in the order of reading."""
    begun = []
    for section in sections:
        bar = Place(section.first_bar) if section.first_bar else None
        places = [(section, bar)]
        for index, line in enumerate(section.lines.all()):
            first = bar if index == 0 else None
            places.append((line, read_place(line.place) if line.place else first))
        begun += [_Beginning(of, place, place and place.compared(timeline)) for of, place in places]
    return begun


def _next(begun: Sequence[_Beginning], index: int, at: tuple) -> _Beginning | None:
    """What begins first of all that stands below; for a section, below its own lines."""
    of = begun[index].of
    below = [
        each
        for each in begun[index + 1 :]
        if each.at and each.at[0] == at[0] and each.at > at and not _is_line_of(each.of, of)
    ]
    return min(below, key=lambda each: each.at, default=None)


def _is_line_of(line: Section | LyricLine, section: Section | LyricLine) -> bool:
    return (
        isinstance(section, Section)
        and isinstance(line, LyricLine)
        and line.section_id == section.pk
    )


def _with_pick_up(begun: Sequence[_Beginning], index: int) -> tuple | None:
    """A section begins with its first line, where that is sung before its first bar."""
    each, *below = begun[index : index + 2]
    if each.at and below and _is_line_of(below[0].of, each.of) and below[0].at[0] == each.at[0]:
        return min(each.at, below[0].at)
    return each.at


def _end(song: Song, unit: str) -> tuple:
    return ("bar", song.last_bar + 1, 1) if song.last_bar and unit == "bar" else (unit, math.inf)
