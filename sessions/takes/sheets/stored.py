"""The sheets about takes as stored papers."""

from sessions.bookings.models import RecordingSession
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.songs.models import Part, Song
from sessions.takes.comp.lines import lines_of
from sessions.takes.sheets.comp_paper import comp_paper
from sessions.takes.sheets.take_sheet import takes_of_session, takes_of_song
from sessions.takes.sheets.track_sheet import tracks_of_session, tracks_of_song

TEMPLATES = "sessions/takes/sheets"
SONGS = Song.objects.select_related("project")
SESSIONS = RecordingSession.objects.select_related("project")
PARTS = Part.objects.select_related("song__project", "performer")
TAKES_AT_ONCE = 100  # more are made by the worker only


def _take_sheet(name: str, *, takes_of, **facts) -> PaperKind:
    def contents(subject: Song | RecordingSession, address: str) -> Contents:
        groups = takes_of(subject)
        is_long = sum(len(group.takes) for group in groups) > TAKES_AT_ONCE
        return Contents({"subject": subject, "groups": groups}, is_long=is_long)

    return PaperKind(
        path=f"{__name__}.{name}",
        title="Take sheet: {}".format,
        template=f"{TEMPLATES}/take_sheet.html",
        contents=contents,
        **facts,
    )


def _track_sheet(name: str, *, tracks_of, **facts) -> PaperKind:
    def contents(subject: Song | RecordingSession, address: str) -> Contents:
        return Contents({"subject": subject, "setups": tracks_of(subject)})

    return PaperKind(
        path=f"{__name__}.{name}",
        title="Track sheet: {}".format,
        template=f"{TEMPLATES}/track_sheet.html",
        contents=contents,
        **facts,
    )


TAKE_SHEET_OF_SONG = _take_sheet(
    "TAKE_SHEET_OF_SONG", takes_of=takes_of_song, page="songs:detail", subjects=SONGS
)
TAKE_SHEET_OF_SESSION = _take_sheet(
    "TAKE_SHEET_OF_SESSION", takes_of=takes_of_session, page="takes:session_list", subjects=SESSIONS
)
TRACK_SHEET_OF_SONG = _track_sheet(
    "TRACK_SHEET_OF_SONG", tracks_of=tracks_of_song, page="songs:detail", subjects=SONGS
)
TRACK_SHEET_OF_SESSION = _track_sheet(
    "TRACK_SHEET_OF_SESSION", tracks_of=tracks_of_session, page="setups:session", subjects=SESSIONS
)
LYRIC_SHEET = PaperKind(
    path=f"{__name__}.LYRIC_SHEET",
    title="Lyric sheet: {}".format,
    page="songs:detail",
    template=f"{TEMPLATES}/lyric_sheet.html",
    subjects=SONGS,
    contents=lambda song, address: Contents({"song": song, "lines": lines_of(song)}),
)
LYRIC_SHEET_OF_PART = PaperKind(
    path=f"{__name__}.LYRIC_SHEET_OF_PART",
    title=lambda part: f"Lyric sheet: {part.song}, {part}",
    page="comp:sheet",
    template=f"{TEMPLATES}/lyric_sheet.html",
    subjects=PARTS,
    contents=lambda part, address: Contents(
        {"song": part.song, "part": part, "lines": lines_of(part.song, part)}
    ),
)
COMP_SHEET = PaperKind(
    path=f"{__name__}.COMP_SHEET",
    title=lambda part: f"Comp sheet: {part.song}, {part}",
    page="comp:sheet",
    template=f"{TEMPLATES}/comp_sheet.html",
    subjects=PARTS,
    contents=lambda part, address: Contents({"part": part, "paper": comp_paper(part)}),
)
