"""The lyric sheet: every line with where it is sung, and the take that a part's comp has it from."""

from dataclasses import dataclass

from sessions.songs.line_places import LineSpan, spans_of_lines
from sessions.songs.models import LyricLine, Part, Section, Song
from sessions.takes.models import CompChoice, Take


@dataclass(frozen=True)
class SheetLine:
    """`line` is None for a section without words, `span` for a line without a place."""

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


def lyric_sheet(song: Song, part: Part | None = None) -> list[SheetLine]:
    """In four queries at most."""
    spans = {span.line.pk: span for span in spans_of_lines(song)}
    chosen = _chosen(part) if part else {}
    return [
        SheetLine(
            section,
            line,
            spans.get(line.pk) if line else None,
            chosen.get((None, line.pk) if line else None) or chosen.get((section.pk, None)),
        )
        for section in song.sections.prefetch_related("lines")
        for line in section.lines.all() or [None]
    ]


def _chosen(part: Part) -> dict[tuple[int | None, int | None], Take]:
    choices = CompChoice.objects.filter(part=part, take__withdrawn=False).select_related("take")
    return {(each.section_id, each.line_id): each.take for each in choices}
