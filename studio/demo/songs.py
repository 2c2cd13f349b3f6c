"""The songs of the EP, words and all; written for this demo."""

from sessions.clients.models import Person, Project
from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import Part, Song

HAUL_AWAY = """
[Verse 1, bar 5]
The frost is on the morning and the lamps are burning low
The rope is wet with morning and the wind has yet to blow
[Chorus, bar 13]
Turn up the lantern, haul it up the quay
Turn up the lantern, and leave the night to me
[Verse 2, bar 21]
The rooks have had their breakfast and the tar has had its day
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
        "Slow the Lantern",
        "D minor",
        "4/4",
        [{"bar": 1, "bpm": 92}, {"bar": 21, "bpm": 96}],
        "T9999000123",
        HAUL_AWAY,
        [
            ("Lead vocal", "Hesper Dunnage"),
            ("Fiddle", "Mina Sprigge"),
            ("Concertina", "Corin Strake"),
            ("Flugelhorn", "Ludo Tranter"),
        ],
    ),
    (
        "Neap and Spring",
        "G",
        "6/8",
        [{"bar": 1, "bpm": 66}],
        "",
        LOW_WATER,
        [("Group vocals", None), ("Flugelhorn", "Ludo Tranter"), ("Spoken verse", "Bram Hawse")],
    ),
    (
        "Seven Bells Round",
        "A minor",
        "3/4",
        [{"bar": 1, "bpm": 108}],
        "",
        "",
        [("Group vocals", None), ("Tuba", "Tamsin Orlop")],
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
