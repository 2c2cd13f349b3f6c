"""The comp sheet of a part: lyric lines down, takes across, what each take covers, and how it came
out there."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from sessions.songs.line_places import Stretch, punched, stretches
from sessions.songs.models import LyricLine, Part, Section
from sessions.takes.comp.joins import best_of_each, count_joins, fewest_joins
from sessions.takes.models import (
    FALSE_STARTS,
    CompChoice,
    CompGrade,
    Mark,
    TakeKind,
    TakePart,
)

#: From which grade on a line may be used. Common practice, no source.
USABLE = 3
#: A take that nobody graded may be used as one of this grade, unless its mark says otherwise.
UNGRADED = USABLE
#: Takes side by side on one page.
COLUMNS = 40


@dataclass(frozen=True)
class Row:
    """A lyric line; a section without words, or chosen as a whole, is a row of its own."""

    section: Section
    line: LyricLine | None
    stretch: Stretch | None
    """Where it is sung, as far as the places of lines and sections tell."""

    @property
    def key(self) -> str:
        """As an address names it: `l12` a line, `s3` a section."""
        return f"l{self.line.pk}" if self.line else f"s{self.section.pk}"

    @property
    def what(self) -> dict:
        """As a choice or a grade names it."""
        return {"line": self.line} if self.line else {"section": self.section}

    def __str__(self) -> str:
        return str(self.line or self.section)


@dataclass(frozen=True)
class Cell:
    """A line in a take. `covered` is None where the record does not say whether it is there."""

    row: Row
    part: TakePart
    covered: bool | None
    grade: CompGrade | None
    is_chosen: bool
    chosen: int | None
    """The key of the take that is chosen for the line, whichever it is."""

    @property
    def key(self) -> str:
        """What a press of it sends: row and take, and what its presser saw chosen and graded."""
        seen = self.grade.grade if self.grade else None
        return f"{self.row.key}.{self.part.take_id}.{self.chosen or ''}.{seen or ''}"

    @property
    def usable(self) -> int:
        """The grade by which it may be used; 0 where it may not."""
        if self.grade and self.grade.grade:
            return self.grade.grade if self.grade.grade >= USABLE else 0
        if not self.covered or self.part.mark == Mark.NO_GOOD:
            return 0
        given = self.part.grade or UNGRADED
        return given if given >= USABLE else 0


class CompSheet:
    """By a constant number of queries; TakeParts come with their takes.

    All takes, `only` one of them (a key), or a page: the newest `COLUMNS`, of those that are older than
    the TakePart `before`, beside the takes that are chosen. What a page suggests and misses is said of
    the takes that it shows.
    """

    def __init__(
        self,
        part: Part,
        *,
        only: int | None = None,
        in_pages: bool = False,
        before: int | None = None,
    ):
        self.part, self.older = part, None
        found = part.take_parts.select_related("take__into", "part").filter(
            take__withdrawn=False, take__ended_at__isnull=False
        )
        found = found.exclude(mark__in=FALSE_STARTS).order_by("-pk")  # as they are numbered
        if only:
            found = found.filter(take=only)
        self.takes = list(self._page(found, before) if in_pages else found)[::-1]

    def _page(self, found, before: int | None) -> list[TakePart]:
        """`older` is the key that the page after it is asked `before`, None where there is none."""
        newer = found.filter(pk__lt=before) if before else found
        shown = list(newer[: COLUMNS + 1])
        if len(shown) > COLUMNS:
            self.older = shown[COLUMNS - 1].pk
        shown = shown[:COLUMNS]
        known = {each.take_id for each in shown}
        chosen = found.filter(take__in=set(self._chosen.values()) - known)
        return sorted([*shown, *chosen], key=lambda each: -each.pk)

    @cached_property
    def rows(self) -> list[Row]:
        sections = list(self.part.song.sections.prefetch_related("lines"))
        as_a_whole = {section for section, _line in self._chosen if section}
        sung = stretches(sections, self.part.song)
        rows = []
        for section in sections:
            lines = list(section.lines.all())
            if not lines or section.pk in as_a_whole:
                rows.append(Row(section, None, sung.get(section)))
            if section.pk not in as_a_whole:
                rows += [Row(section, line, sung.get(line)) for line in lines]
        return rows

    @cached_property
    def _chosen(self) -> dict[tuple[int | None, int | None], int]:
        choices = CompChoice.objects.filter(part=self.part).order_by("pk")
        return {(each.section_id, each.line_id): each.take_id for each in choices}

    @cached_property
    def _grades(self) -> dict[tuple[int, int | None, int | None], CompGrade]:
        grades = CompGrade.objects.filter(take_part__in=[each.pk for each in self.takes])
        return {(each.take_part_id, each.section_id, each.line_id): each for each in grades}

    @cached_property
    def table(self) -> list[tuple[Row, list[Cell]]]:
        return [(row, [self._cell(row, each) for each in self.takes]) for row in self.rows]

    def _cell(self, row: Row, part: TakePart) -> Cell:
        at = (None, row.line.pk) if row.line else (row.section.pk, None)
        chosen = self._chosen.get(at)
        grade = self._grades.get((part.pk, *at))
        return Cell(row, part, self._covers(part, row), grade, chosen == part.take_id, chosen)

    @cached_property
    def _punched(self) -> dict[int, Stretch | None]:
        """What each punch-in covers."""
        timeline = self.part.song.timeline
        return {
            each.pk: punched(each.take.punch_in, each.take.punch_out, timeline)
            for each in self.takes
            if each.take.kind == TakeKind.PUNCH_IN
        }

    def _covers(self, part: TakePart, row: Row) -> bool | None:
        """A whole take is there, unless it broke down; a punch-in where it spans the line."""
        if part.pk not in self._punched:
            return None if part.mark == Mark.BREAKDOWN else True
        stretch = self._punched[part.pk]
        return stretch.covers(row.stretch) if stretch and row.stretch else None

    @cached_property
    def chosen(self) -> list[int | None]:
        """The take of each row."""
        return [next((c.chosen for c in cells), None) for _row, cells in self.table]

    @property
    def joins(self) -> int:
        return count_joins(self.chosen)

    @property
    def not_covered(self) -> list[Row]:
        """Rows of which no take may be used."""
        return [row for row, cells in self.table if not any(cell.usable for cell in cells)]

    @property
    def not_chosen(self) -> list[Row]:
        return [row for row, take in zip(self.rows, self.chosen, strict=True) if take is None]

    def suggestion(self, way: str) -> list[int | None]:
        """The take of each row by one of SUGGESTIONS; None where none may be used."""
        _words, work_out = SUGGESTIONS[way]
        return work_out([dict(_usable(cells)) for _row, cells in self.table])


def _usable(cells: list[Cell]) -> Iterator[tuple[int, int]]:
    return ((cell.part.take_id, cell.usable) for cell in cells if cell.usable)


SUGGESTIONS = {
    "joins": ("The fewest joins", fewest_joins),
    "best": ("The best-graded take of each line", best_of_each),
}
