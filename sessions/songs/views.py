from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse

from gear.editing.form_pages import create_page, edit_page, trail
from gear.list_pages import list_page
from sessions.clients.models import Project
from sessions.songs.actions import write_lyrics
from sessions.songs.filters import SongFilter
from sessions.songs.forms import LyricsForm, PartForm, SongForm
from sessions.songs.lyrics import lyrics_text
from sessions.songs.models import Part, Song
from sessions.songs.parts import part_lines
from sessions.songs.tables import SongTable

SONGS = ("Songs", "songs:list")


def _song_of(request, pk) -> Song:
    songs = Song.objects.visible_to(request.user).select_related("project__client")
    return get_object_or_404(songs, pk=pk)


def song_list(request: HttpRequest) -> HttpResponse:
    songs = SongFilter(
        request.GET or None, Song.objects.visible_to(request.user).for_list(), request=request
    )
    template = "sessions/songs/song_list.html"
    return list_page(request, SongTable(songs.qs), template, {"filter": songs})


def song_create(request: HttpRequest, pk: int) -> HttpResponse:
    project = get_object_or_404(Project.objects.visible_to(request.user), pk=pk)
    form = SongForm(request.POST or None, instance=Song(project=project))
    return create_page(request, form, title="New song", crumbs=trail(SONGS, project))


def song_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """A song: facts, lyrics, parts, takes and what was handed over."""
    song = _song_of(request, pk)
    context = {
        "song": song,
        "sections": song.sections.prefetch_related("lines"),
        "parts": part_lines(song.parts.for_list()),
        "takes": song.takes.select_related("session").prefetch_related("take_parts__part"),
        "deliverables": song.deliverables.all(),
    }
    return TemplateResponse(request, "sessions/songs/song_detail.html", context)


def song_edit(request: HttpRequest, pk: int) -> HttpResponse:
    song = _song_of(request, pk)
    form = SongForm(request.POST or None, instance=song)
    return edit_page(request, form, crumbs=trail(SONGS, song.project, song))


def part_create(request: HttpRequest, pk: int) -> HttpResponse:
    song = _song_of(request, pk)
    last = song.parts.aggregate(last=Max("position"))["last"] or 0
    form = PartForm(request.POST or None, instance=Part(song=song, position=last + 1))
    return create_page(
        request, form, title="New part", crumbs=trail(SONGS, song.project, song), then=song
    )


def part_edit(request: HttpRequest, pk: int) -> HttpResponse:
    part = get_object_or_404(
        Part.objects.visible_to(request.user).select_related("song__project"), pk=pk
    )
    form = PartForm(request.POST or None, instance=part)
    return edit_page(request, form, crumbs=trail(SONGS, part.song.project, part.song))


def _saved_lyrics(song: Song) -> str:
    return lyrics_text(song.sections.prefetch_related("lines"))


def lyrics(request: HttpRequest, pk: int) -> HttpResponse:
    """The lyrics as one text; saving keeps the lines that did not change."""
    song = _song_of(request, pk)
    form = LyricsForm(request.POST or None, initial={"text": _saved_lyrics(song)})
    return edit_page(
        request,
        form,
        thing=song,
        save=lambda version: write_lyrics(song, version=version, written=form.cleaned_data["text"]),
        compare=lambda song: [("Lyrics", _saved_lyrics(song), form["text"].value())],
        title="Lyrics",
        then=f"Lyrics of {song} saved.",
        crumbs=trail(SONGS, song.project, song),
    )
