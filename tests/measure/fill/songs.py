"""What the projects record, and what was delivered of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sessions.clients.models import Project
from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.songs.models import LyricLine, Part, Section, Song
from tests.factories import (
    DeliverableFileFactory,
    LyricLineFactory,
    PartFactory,
    SectionFactory,
    SongFactory,
)
from tests.measure.fill.rows import copied

SONGS, SECTIONS, LINES = 4, 3, 4  # of a project, a song, a section


@dataclass(frozen=True)
class Written:
    song: Song
    sections: list[Section]
    parts: list[Part]


def write_songs(projects: Sequence[Project], parts: int) -> dict[int, list[Written]]:
    """Four of each project, by its key, with words and in so many parts."""
    songs = Song.objects.bulk_create(
        SongFactory.build(project=project, key="D minor", meter="4/4")
        for project in projects
        for _ in range(SONGS)
    )
    sections = Section.objects.bulk_create(
        SectionFactory.build(song=song, position=number, name=f"Verse {number}")
        for song in songs
        for number in range(1, SECTIONS + 1)
    )
    LyricLine.objects.bulk_create(
        LyricLineFactory.build(section=section, position=number)
        for section in sections
        for number in range(1, LINES + 1)
    )
    voices = Part.objects.bulk_create(
        PartFactory.build(song=song, position=number, name=f"Voice {number}")
        for song in songs
        for number in range(1, parts + 1)
    )
    written = [
        Written(
            song,
            sections[SECTIONS * n : SECTIONS * (n + 1)],
            voices[parts * n : parts * (n + 1)],
        )
        for n, song in enumerate(songs)
    ]
    return {project.pk: written[SONGS * n : SONGS * (n + 1)] for n, project in enumerate(projects)}


def deliver(songs: Iterable[Song], *, by) -> None:
    """A rough mix of each, all of the same sound."""
    songs = list(songs)
    if not songs:
        return
    first = DeliverableFileFactory(
        deliverable__song=songs[0],
        deliverable__version=1,
        deliverable__created_by=by,
        integrated_lufs=-16.2,
        true_peak_dbtp=-1.3,
    )
    mixes = Deliverable.objects.bulk_create(
        Deliverable(song=song, kind=first.deliverable.kind, version=1, created_by=by)
        for song in songs[1:]
    )
    DeliverableFile.objects.bulk_create(copied(first, deliverable=mix) for mix in mixes)
