"""What a sheet says of its song and of the format that it was recorded in."""

from collections import defaultdict
from collections.abc import Iterator

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
    """Where the chains had several, whose each was."""
    formats = [revision.recording_format for revision in revisions]
    yield "Clock", _by_chains([each.clock for each in formats])
    yield "Click", _by_chains([each.click for each in formats])


def _by_chains(values: list[str]) -> str:
    chains = defaultdict(list)
    for place, value in enumerate(values, 1):
        if value:
            chains[value].append(place)
    if len(chains) < 2:
        return "".join(chains)
    return "; ".join(f"{value} ({chains_in_words(places)})" for value, places in chains.items())


def recorded_otherwise(revisions: list[Revision]) -> Iterator[tuple[str, str]]:
    """Which chains were recorded when the project had another format than today."""
    places = [
        place
        for place, revision in enumerate(revisions, 1)
        if revision.recording_format != revision.format_today
    ]
    if places:
        yield "Recorded in another format", f"{chains_in_words(places)}: see the levels there"
