from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.text import slugify

from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import MEDIA_TYPE, recall_json
from sessions.songs.models import Song


def _song_of(request, pk) -> Song:
    songs = Song.objects.visible_to(request.user).select_related("project__client")
    return get_object_or_404(songs, pk=pk)


def song(request: HttpRequest, pk: int) -> HttpResponse:
    """What was chosen for a song, and every chain behind it."""
    sheet = recall_sheet(_song_of(request, pk))
    return TemplateResponse(request, "sessions/recall/sheet/song.html", {"sheet": sheet})


def song_json(request: HttpRequest, pk: int) -> HttpResponse:
    """The same as data, by the schema in `recall.schema.json`."""
    song = _song_of(request, pk)
    data = recall_json(
        recall_sheet(song), studio=settings.STUDIO_NAME, address=_address(request, song)
    )
    return HttpResponse(
        data,
        content_type=MEDIA_TYPE,
        headers={"Content-Disposition": f'attachment; filename="{_file_name(song)}.json"'},
    )


def _address(request: HttpRequest, song: Song) -> str:
    return request.build_absolute_uri(reverse("recall:song", args=[song.pk]))


def _file_name(song: Song) -> str:
    return f"recall-{slugify(song.title)}".rstrip("-")
