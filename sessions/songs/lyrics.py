"""Lyrics as one text: read into sections and lines, printed back, and matched with those on record.

What did not change keeps its identity, since comp choices point at sections and lines.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from difflib import SequenceMatcher

from django.core.exceptions import ValidationError

from sessions.songs.places import read_place

EXAMPLE = "[Verse 1]"
LONGEST_NAME = 60
LONGEST_LINE = 200
MOST_LINES = 500  # each is compared with those on record
SAME_LINE = 0.6  # share of equal letters from which a line counts as the old one, put right
SAME_SECTION = 0.5  # share of equal lines from which a section counts as the old one, renamed


@dataclass
class WrittenLine:
    """A lyric line as it stands in the text; `place` is empty where none was typed before it."""

    text: str
    place: str = ""


@dataclass
class WrittenSection:
    """A section as it stands in the text; `first_bar` is None where the heading names no bar."""

    name: str
    first_bar: int | None = None
    lines: list[WrittenLine] = field(default_factory=list)

    @property
    def texts(self) -> list[str]:
        return [line.text for line in self.lines]


def read_lyrics(text: str) -> list[WrittenSection]:
    """Sections with their lines: `[Verse 1]` or `[Verse 1, bar 17]` opens one, `[bar 18, beat 3] Out on
    the water` is a line with its place; empty lines are dropped.

    Raises ValidationError with sentences, each with its line’s number.
    """
    sections: list[WrittenSection] = []
    problems = []
    written = [
        (number, line.strip()) for number, line in enumerate(text.splitlines(), 1) if line.strip()
    ]
    if len(written) > MOST_LINES:
        raise ValidationError(f"A song has at most {MOST_LINES} lines with its sections here.")
    for number, line in written:
        if re.fullmatch(r"\[[^]]*\]", line):
            sections.append(_read_heading(line))
            problems += _wrong_name(number, sections[-1].name)
        elif sections:
            try:
                sections[-1].lines.append(_read_line(line))
            except ValidationError as problem:
                problems.append(f"Line {number}: {problem.message}")
        else:
            problems.append(f"Line {number} is in no section: add one above it, such as {EXAMPLE}.")
            break
    if problems:
        raise ValidationError(problems)
    return sections


def lyrics_text(sections: Iterable) -> str:
    """The text of the sections on record. Costs queries unless their lines are prefetched."""
    return "\n\n".join(
        "\n".join([_heading(section), *map(_line, section.lines.all())]) for section in sections
    )


def match_written(new: list, old: list, *tests: Callable) -> dict[int, object]:
    """Which old item each new one continues: index in `new` -> item of `old`.

    The tests, `test(new, old)`, are tried one after the other over all that is still unmatched,
    in order of reading; so a sure match is never lost to a likely one.
    """
    free = list(old)
    matched = {}
    for test in tests:
        for index, item in enumerate(new):
            if index in matched:
                continue
            partner = next((other for other in free if test(item, other)), None)
            if partner is not None:
                matched[index] = partner
                free.remove(partner)
    return matched


def is_same_line(one: str, other: str) -> bool:
    """Whether one line is the other with something put right."""
    return SequenceMatcher(None, one.lower(), other.lower()).ratio() >= SAME_LINE


def is_same_section(one: list[str], other: list[str]) -> bool:
    """Whether two sections of different names have most of their lines in common."""
    return bool(one) and SequenceMatcher(None, one, other).ratio() >= SAME_SECTION


def _read_heading(line: str) -> WrittenSection:
    name = line[1:-1].strip()
    match = re.fullmatch(r"(.*\S)\s*,\s*bar\s+(\d{1,4})", name)
    return WrittenSection(match[1], int(match[2])) if match else WrittenSection(name)


def _read_line(line: str) -> WrittenLine:
    placed = re.fullmatch(r"\[([^]]*)\]\s*(.*)", line)
    read = WrittenLine(placed[2], str(read_place(placed[1]))) if placed else WrittenLine(line)
    if len(read.text) > LONGEST_LINE:
        raise ValidationError(f"it is longer than {LONGEST_LINE} characters: break it in two.")
    return read


def _line(line) -> str:
    return f"[{line.place}] {line.text}" if line.place else line.text


def _heading(section) -> str:
    bar = f", bar {section.first_bar}" if section.first_bar is not None else ""
    return f"[{section.name}{bar}]"


def _wrong_name(number: int, name: str) -> list[str]:
    if not name:
        return [f"Line {number} starts a section without a name: write one, such as {EXAMPLE}."]
    if len(name) > LONGEST_NAME:
        return [f"The section’s name in line {number} is longer than {LONGEST_NAME} characters."]
    return []
