from django.urls import path

from sessions.papers.stored.serving import paper_page
from sessions.takes.sheets import stored, views

app_name = "sheets"
urlpatterns = [
    path(
        "songs/<int:pk>/take-sheet.pdf",
        paper_page,
        {"kind": stored.TAKE_SHEET_OF_SONG},
        name="song_takes",
    ),
    path(
        "sessions/<int:pk>/take-sheet.pdf",
        paper_page,
        {"kind": stored.TAKE_SHEET_OF_SESSION},
        name="session_takes",
    ),
    path(
        "songs/<int:pk>/track-sheet.pdf",
        paper_page,
        {"kind": stored.TRACK_SHEET_OF_SONG},
        name="song_tracks",
    ),
    path(
        "songs/<int:pk>/track-sheet.csv",
        views.tracks_csv,
        {"kind": stored.TRACK_SHEET_OF_SONG},
        name="song_tracks_csv",
    ),
    path(
        "sessions/<int:pk>/track-sheet.pdf",
        paper_page,
        {"kind": stored.TRACK_SHEET_OF_SESSION},
        name="session_tracks",
    ),
    path(
        "sessions/<int:pk>/track-sheet.csv",
        views.tracks_csv,
        {"kind": stored.TRACK_SHEET_OF_SESSION},
        name="session_tracks_csv",
    ),
    path("songs/<int:pk>/lyric-sheet.pdf", paper_page, {"kind": stored.LYRIC_SHEET}, name="lyrics"),
    path(
        "songs/<int:pk>/lyric-sheet.csv",
        views.lyrics_csv,
        {"kind": stored.LYRIC_SHEET},
        name="lyrics_csv",
    ),
    path(
        "parts/<int:pk>/lyric-sheet.pdf",
        paper_page,
        {"kind": stored.LYRIC_SHEET_OF_PART},
        name="part_lyrics",
    ),
    path(
        "parts/<int:pk>/lyric-sheet.csv",
        views.lyrics_csv,
        {"kind": stored.LYRIC_SHEET_OF_PART},
        name="part_lyrics_csv",
    ),
    path("parts/<int:pk>/comp/comp.pdf", paper_page, {"kind": stored.COMP_SHEET}, name="comp"),
]
