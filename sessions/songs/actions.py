from django.core.exceptions import ValidationError
from django.db import transaction

from gear.acting import set_facts
from gear.editing.versions import claim_version
from sessions.songs.line_places import check_places
from sessions.songs.lyrics import (
    WrittenSection,
    is_same_line,
    is_same_section,
    lyrics_text,
    match_written,
    read_lyrics,
)
from sessions.songs.models import LyricLine, Section, Song


@transaction.atomic
def write_lyrics(song: Song, *, version: int, written: list[WrittenSection]) -> None:
    """Make the song's sections and lines what is written.

    What did not change stays the same row; so does a line that was put right or moved, and a
    section that was renamed, as far as the likeness of their words tells.
    Raises EditedMeanwhile when somebody saved the song after `version`, and ValidationError where
    a line’s place is not in the song or not in order, or a section or line that would go is chosen
    in a comp.
    """
    claim_version(song, version)
    song.refresh_from_db()
    check_places(song, [line for section in written for line in section.lines])
    old = list(song.sections.prefetch_related("lines"))
    if read_lyrics(lyrics_text(old)) == written:
        return
    sections, gone_sections = _place_sections(song, written, old)
    gone_lines = _place_lines(song, written, sections)
    _refuse_chosen(gone_lines + gone_sections)
    LyricLine.objects.filter(pk__in=[line.pk for line in gone_lines]).delete()
    Section.objects.filter(pk__in=[section.pk for section in gone_sections]).delete()
    song._change_reason = "Lyrics written"
    song.save()


def _place_sections(
    song: Song, written: list[WrittenSection], old: list[Section]
) -> tuple[list, list]:
    """Write the sections in their order; returns them, and those that are in the text no more."""
    lines = {section.pk: [line.text for line in section.lines.all()] for section in old}
    matched = match_written(
        written,
        old,
        lambda new, section: new.name == section.name and new.texts == lines[section.pk],
        lambda new, section: new.name == section.name,
        lambda new, section: is_same_section(new.texts, lines[section.pk]),
    )
    sections = []
    for index, new in enumerate(written):
        section = matched.get(index) or Section(song=song)
        _write(section, position=index + 1, name=new.name, first_bar=new.first_bar)
        sections.append(section)
    return sections, [section for section in old if section not in sections]


def _place_lines(song: Song, written: list[WrittenSection], sections: list[Section]) -> list:
    """Write the lines into their sections; returns those that are in the text no more."""
    new = [
        (section, position, line)
        for section, told in zip(sections, written, strict=True)
        for position, line in enumerate(told.lines, start=1)
    ]
    old = list(LyricLine.objects.filter(section__song=song))
    matched = match_written(
        new,
        old,
        lambda new, line: new[2].text == line.text and new[0].pk == line.section_id,
        lambda new, line: new[2].text == line.text,
        lambda new, line: new[0].pk == line.section_id and is_same_line(new[2].text, line.text),
    )
    for index, (section, position, told) in enumerate(new):
        line = matched.get(index) or LyricLine()
        _write(line, section=section, position=position, text=told.text, place=told.place)
    kept = {line.pk for line in matched.values()}
    return [line for line in old if line.pk not in kept]


def _write(row: Section | LyricLine, **facts) -> None:
    """What stays as it is is left alone, so that the history says what changed."""
    if row.pk is None or any(getattr(row, name) != fact for name, fact in facts.items()):
        set_facts(row, **facts)
        row.save()


def _refuse_chosen(gone: list[Section | LyricLine]) -> None:
    problems = [
        f"“{thing}” has to stay: the comp of {choice.part} takes it from take "
        f"{choice.take.number}. Put it back, or choose otherwise in the comp first."
        for thing in gone
        for choice in thing.comp_choices.select_related("part", "take")
    ]
    problems += [
        f"“{thing}” has to stay: it is graded in the comp of {grade.take_part}. Put it back, or remove "
        "its grades first."
        for thing in gone
        for grade in thing.comp_grades.select_related("take_part__part", "take_part__take")
    ]
    if problems:
        raise ValidationError(problems)
