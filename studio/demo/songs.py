"""What the four projects record: the songs of the EP with words and parts, cues, carols, episodes."""

from sessions.clients.models import Person, Project
from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import Part, Relation, Song
from studio.demo import lyrics

BAND = [
    ("Cornet", "Ludo Tranter"),
    ("Trombone", "Mina Sprigge"),
    ("Euphonium", "Osric Paull"),
    ("Bass", "Gwil Hanniford"),
    ("Drums", "Teo Larkrise"),
    ("Piano", "Ada Fenwright"),
]
SPOKEN = [("Spoken verse", "Bram Hawse")]
QUARTET = [("Quartet", None)]
STRINGS = [("Violins", None), ("Violas", None), ("Cellos", None)]

# Project, title, key, metre, tempo map, ISWC, ISRC, words, parts with their performers
SONGS = [
    (
        "ep",
        "Slow the Lantern",
        "E flat",
        "12/8",
        [{"bar": 1, "bpm": 58}, {"bar": 57, "bpm": 54}],
        "T9990001053",
        "BVQSS2600011",
        lyrics.SLOW_THE_LANTERN,
        BAND + QUARTET,
    ),
    (
        "ep",
        "Neap and Spring",
        "C minor",
        "3/4",
        [{"bar": 1, "bpm": 126}],
        "T9990001064",
        "BVQSS2600012",
        lyrics.NEAP_AND_SPRING,
        BAND + QUARTET,
    ),
    (
        "ep",
        "Seven Bells Round",
        "B flat",
        "2/2",
        [{"bar": 1, "bpm": 84}, {"bar": 25, "bpm": 76}, {"bar": 33, "bpm": 84}],
        "T9990001075",
        "",
        lyrics.SEVEN_BELLS_ROUND,
        BAND + SPOKEN + QUARTET,
    ),
    (
        "ep",
        "The Ferry Clerk’s Complaint",
        "F",
        "6/8",
        [{"bar": 1, "bpm": 112}],
        "",
        "",
        lyrics.THE_FERRY_CLERK,
        BAND + QUARTET,
    ),
    (
        "ep",
        "Salt on the Sill",
        "A flat",
        "4/4",
        [{"bar": 1, "bpm": 71}],
        "",
        "",
        lyrics.SALT_ON_THE_SILL,
        [BAND[5], *QUARTET],
    ),
    *[
        ("film", title, "", "", [{"bar": 1, "bpm": bpm}], "", "", "", STRINGS)
        for title, bpm in [
            ("1m1 Opening titles", 63),
            ("1m4 The sluice before dawn", 48),
            ("2m2 Inquest", 88),
            ("3m7 End titles", 66),
        ]
    ],
    ("film", "Narration", "", "", [], "", "", "", [("Narrator", "Ottoline Breck")]),
    *[
        ("choir", title, key, "", [], "", "", "", [("Choir", None), ("Organ", "Silas Ardern")])
        for title, key in [
            ("Frost on the Counting House", "D"),
            ("Three Cold Candles", "G minor"),
            ("Sexton, Ring It Slow", "A minor"),
            ("The Long Night Reckoning", "F"),
        ]
    ],
    *[
        ("radio", f"Episode {number}: {title}", "", "", [], "", "", "", [("Voices", "Ivo Sallow")])
        for number, title in enumerate(["Lever Nine", "The Down Line", "All Clear"], 1)
    ],
]


#: What stands beside another part, by song: the voices of the demo are replaced part by part.
DEMO = "Voices, demo"
BESIDE = {
    "Neap and Spring": [
        {"name": DEMO, "is_guide": True, "note": "Sung at the piano, one evening in May."},
        {"name": "Quartet", "relation": Relation.REPLACES, "related_to": DEMO},
        {"name": "Descant", "relation": Relation.REPLACES, "related_to": DEMO},
        {"name": "Quartet, second pass", "relation": Relation.DOUBLES, "related_to": "Quartet"},
    ],
}


def fill_songs(projects: dict[str, Project], people: dict[str, Person]) -> dict[str, Song]:
    """Makes the songs with sections, lines and parts; returns them by title."""
    songs = {}
    for short, title, key, meter, tempo_map, iswc, isrc, words, parts in SONGS:
        song = Song.objects.create(
            project=projects[short],
            title=title,
            key=key,
            meter=meter,
            tempo_map=tempo_map,
            iswc=iswc,
            isrc=isrc,
        )
        if words:
            write_lyrics(song, written=read_lyrics(words), version=song.version)
        for position, (name, performer) in enumerate(parts, 1):
            Part.objects.create(
                song=song, position=position, name=name, performer=people.get(performer)
            )
        _set_beside(song, BESIDE.get(title, ()))
        songs[title] = song
    return songs


def _set_beside(song: Song, parts) -> None:
    for position, facts in enumerate(parts, song.parts.count() + 1):
        other = facts.get("related_to")
        facts = facts | {"related_to": other and song.parts.get(name=other)}
        Part.objects.update_or_create(
            song=song,
            name=facts["name"],
            defaults=facts,
            create_defaults=facts | {"position": position},
        )
