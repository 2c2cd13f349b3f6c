"""What a sheet says of its song and of the format that it was recorded in."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from gear.audio.level_text import level_text
from sessions.recall.sheet.song_patch import chains_in_words
from sessions.setups.models import Revision
from sessions.songs.models import Song


def song_facts(song: Song) -> list[tuple[str, str]]:
    """Name and value, empty where nobody gave one."""
    project = song.project
    return [
        ("Artist", project.artist),
        ("Project", project.name),
        ("Client", f"{project.client}"),
        ("Key", song.key),
        ("Time signature", song.meter),
        ("Tempo", _tempo_in_words(song.tempo_map)),
        ("Sample rate", project.get_sample_rate_display()),
        ("Bit depth", project.get_bit_depth_display()),
        ("Alignment", f"0 dBFS at {level_text(float(project.full_scale_dbu))}"),
        ("ISRC", song.isrc_printed),
        ("ISWC", song.iswc_printed),
    ]


def _tempo_in_words(tempo_map: list[dict]) -> str:
    """96 beats per minute; from bar 33, 104."""
    words = []
    for change in tempo_map:
        bpm = f"{change['bpm']:g}"
        words.append(f"from bar {change['bar']}, {bpm}" if words else f"{bpm} beats per minute")
    return "; ".join(words)


def clock_and_click(revisions: list[Revision]) -> Iterator[tuple[str, str]]:
    """Where there were several, each with its sessions."""
    yield "Clock", _by_session((each, each.recording_format.clock) for each in revisions)
    yield "Click", _by_session((each, each.recording_format.click) for each in revisions)


def _by_session(values: Iterable[tuple[Revision, str]]) -> str:
    sessions: dict[str, dict[str, None]] = defaultdict(dict)
    for revision, value in values:
        if value:
            sessions[value][revision.chain.setup.session.title] = None
    if len(sessions) < 2:
        return "".join(sessions)
    return "; ".join(f"{', '.join(titles)}: {value}" for value, titles in sessions.items())


def recorded_otherwise(revisions: list[Revision]) -> Iterator[tuple[str, str]]:
    """Which chains were recorded when the project had another format than today."""
    places = [
        place
        for place, revision in enumerate(revisions, 1)
        if revision.recording_format != revision.format_today
    ]
    if places:
        yield "Recorded in another format", f"{chains_in_words(places)}: see the levels there"
