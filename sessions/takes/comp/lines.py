"""Which lines of a song come from which take, as the comps of its parts stand."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby

from django.db.models import QuerySet

from sessions.songs.line_places import LineSpan, spans_in
from sessions.songs.models import LyricLine, Part, Section, Song
from sessions.takes.models import CompChoice, Take

Chosen = Mapping[tuple[int | None, int | None], Take]


@dataclass(frozen=True)
class ChosenLine:
    """`line` is None for a section without words, `span` for a line without a place, `take` where none is
    chosen."""

    section: Section
    line: LyricLine | None
    span: LineSpan | None
    take: Take | None

    @property
    def begins(self) -> str:
        if self.span:
            return self.span.punch_in
        first = self.section.first_bar if self.line is None else None
        return f"bar {first}" if first else ""

    @property
    def ends(self) -> str:
        return self.span.punch_out if self.span else ""


@dataclass(frozen=True)
class Comp:
    part: Part
    lines: tuple[ChosenLine, ...]

    @property
    def runs(self) -> list[tuple[Take | None, str]]:
        """Lines that follow each other from one take, in words: Verse 1; Chorus: “Hold it low”."""
        runs = groupby(self.lines, key=lambda each: each.take)
        return [(take, _in_words(list(lines))) for take, lines in runs]

    @property
    def gaps(self) -> list[str]:
        """The sections without a take, with how many of their lines have none where others have one."""
        gaps = []
        for section, inside in groupby(self.lines, key=lambda each: each.section):
            lines = list(inside)
            without = [each for each in lines if each.take is None]
            share = f" ({len(without)} of {len(lines)} lines)" if len(without) < len(lines) else ""
            gaps += [f"{section}{share}"] if without else []
        return gaps


def lines_of(song: Song, part: Part | None = None) -> list[ChosenLine]:
    """All of a song, with the takes of the part's comp. At most three queries."""
    choices = _standing(part.comp_choices) if part else ()
    return _lines(song, song.sections.prefetch_related("lines"), _by_what(choices))


def comps_of(choices: QuerySet[CompChoice]) -> list[Comp]:
    """Of the parts that these are for, as songs list them. Three queries, or one where there are none."""
    ordered = _standing(choices).order_by("part__position", "part__name", "part")
    by_part = {part: list(each) for part, each in groupby(ordered, key=lambda each: each.part)}
    sections = defaultdict(list)
    if by_part:
        songs = {part.song_id for part in by_part}
        for each in Section.objects.filter(song__in=songs).prefetch_related("lines"):
            sections[each.song_id].append(each)
    return [
        Comp(part, tuple(_lines(part.song, sections[part.song_id], _by_what(chosen))))
        for part, chosen in by_part.items()
    ]


def _standing(choices: QuerySet[CompChoice]) -> QuerySet[CompChoice]:
    return choices.filter(take__withdrawn=False).select_related("part__song", "take__into")


def _by_what(choices: Iterable[CompChoice]) -> Chosen:
    return {(each.section_id, each.line_id): each.take for each in choices}


def _lines(song: Song, sections: Iterable[Section], chosen: Chosen) -> list[ChosenLine]:
    """A section that is chosen as a whole gives each of its lines."""
    spans = {span.line.pk: span for span in spans_in(sections, song)}
    return [
        ChosenLine(
            section,
            line,
            spans.get(line.pk) if line else None,
            (line and chosen.get((None, line.pk))) or chosen.get((section.pk, None)),
        )
        for section in sections
        for line in section.lines.all() or [None]
    ]


def _in_words(lines: list[ChosenLine]) -> str:
    words = []
    for section, inside in groupby(lines, key=lambda each: each.section):
        texts = [f"“{each.line}”" for each in inside if each.line]
        is_all = len(texts) == len(section.lines.all())
        words.append(f"{section}" if is_all else f"{section}: {', '.join(texts)}")
    return "; ".join(words)
