"""A recall sheet that came from Oriel Yard, another invented house: its players, gear and tags."""

import json

from sessions.bookings.models import RecordingSession
from sessions.recall.imported.actions import assign_song, import_sheet
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_data
from sessions.songs.models import Song

# What stands there, in place of what stands here. Panels are like panels: theirs has these controls.
THEIRS = {
    "Ludo Tranter": "Nessa Quoyle",
    "Mina Sprigge": "Abel Thring",
    "Skerrow Acoustic": "Fettle",
    "Culvert": "Lugger 3",
    "Runnel": "Lugger 1",
    "Ullage Works": "Harl & Teasel",
    "Tierce": "Carding",
    "Firkin": "Heckle",
    "Hobweir": "Greyling",
    "Stile 8": "Octave",
    "Sessile": "Marram",
    "Bract 16": "Sixteen",
    "PR-0": "OY-PRE-",
    "MR-0": "OY-R",
    "MD-0": "OY-D",
    "MC-0": "OY-C",
    "MC-1": "OY-S",
    "AD-01": "OY-CONV",
    "Floor ": "Chapel ",
    "Rope Floor": "Chapel",
    "North wall": "Vestry box",
    "South wall": "Organ box",
}
SONG = {
    "title": "End titles, brass",
    "artist": "Jasper Limmer",
    "project": "Below the Weir (score)",
    "client": "Cinder Walk Pictures",
    "key": "G minor",
    "meter": "4/4",
    "isrc": "",
    "iswc": "",
}


def import_from_oriel_yard(work, today: RecordingSession) -> None:
    """Their brass for the end titles, kept for the cue; and a preview of another cue, not imported yet."""
    data = json.dumps(_of_the_brass(), ensure_ascii=False)
    for ours, theirs in THEIRS.items():
        data = data.replace(ours, theirs)
    data = json.loads(data)
    data["song"] |= SONG
    sheet = import_sheet(data, file_name="oriel yard, end titles brass.pdf", by=work.engineer)
    assign_song(sheet, song=work.songs["3m7 End titles"])
    another = data | {"song": data["song"] | {"title": "Lock gates, brass"}}
    import_sheet(another, file_name="oriel yard, lock gates.json", by=work.manager)


def _of_the_brass() -> dict:
    """The shape of a sheet, from one of ours."""
    song = Song.objects.select_related("project__client").get(title="Neap and Spring")
    [part] = song.parts.filter(name="Trombone")
    part.song = song
    return recall_data(
        recall_sheet(part),
        studio="Oriel Yard",
        address="https://oriel-yard.example/songs/41/recall-sheet/",
    )
