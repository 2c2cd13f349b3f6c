"""The songs of the EP, words and all; written for this demo."""

from sessions.clients.models import Person, Project
from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import Part, Song

HAUL_AWAY = """
[Verse 1, bar 5]
The tide is on the turning and the lamps are burning low
The rope is wet with morning and the wind has yet to blow
[Chorus, bar 13]
Haul away the morning, haul it up the quay
Haul away the morning, and leave the night to me
[Verse 2, bar 21]
The gulls have had their breakfast and the tar has had its day
There's nothing in the locker but the will to be away
"""
LOW_WATER = """
[Verse 1, bar 3]
At low water walk the ribs of the wreck
Count the nails that the sea has kept
[Refrain, bar 11]
Low water, low water, the moon has let go
"""

# Title, key, meter, tempo map, ISWC, lyrics, parts with their performers
SONGS = [
    (
        "Haul Away the Morning",
        "D minor",
        "4/4",
        [{"bar": 1, "bpm": 92}, {"bar": 21, "bpm": 96}],
        "T9999000123",
        HAUL_AWAY,
        [
            ("Lead vocal", "Maud Ferrier"),
            ("Fiddle", "Bess Orrin"),
            ("Concertina", "Col Inkpen"),
            ("Flugelhorn", "Ansel Brook"),
        ],
    ),
    (
        "Low Water",
        "G",
        "6/8",
        [{"bar": 1, "bpm": 66}],
        "",
        LOW_WATER,
        [("Group vocals", None), ("Flugelhorn", "Ansel Brook"), ("Spoken verse", "Wilf Tarrant")],
    ),
    (
        "The Lamplighter’s Round",
        "A minor",
        "3/4",
        [{"bar": 1, "bpm": 108}],
        "",
        "",
        [("Group vocals", None), ("Tuba", "Petra Lisle")],
    ),
]


def fill_songs(project: Project, people: dict[str, Person]) -> dict[str, Song]:
    """Makes the songs with sections, lines and parts; returns them by title."""
    songs = {}
    for title, key, meter, tempo_map, iswc, lyrics, parts in SONGS:
        song = Song.objects.create(
            project=project, title=title, key=key, meter=meter, tempo_map=tempo_map, iswc=iswc
        )
        if lyrics:
            write_lyrics(song, written=read_lyrics(lyrics), version=song.version)
        for position, (name, performer) in enumerate(parts, 1):
            Part.objects.create(
                song=song, position=position, name=name, performer=people.get(performer)
            )
        songs[title] = song
    return songs
