from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone

from sessions.paper import pdf_response, render_pdf
from sessions.recall.sheet import recall_sheet
from sessions.songs.models import Song


def _song_of(request, pk) -> Song:
    songs = Song.objects.visible_to(request.user).select_related("project__client")
    return get_object_or_404(songs, pk=pk)


def song(request: HttpRequest, pk: int) -> HttpResponse:
    """What was chosen for a song, and every chain behind it."""
    sheet = recall_sheet(_song_of(request, pk))
    return TemplateResponse(request, "sessions/recall/song.html", {"sheet": sheet})


def song_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same on paper."""
    song = _song_of(request, pk)
    pdf = render_pdf(
        "sessions/recall/sheet.html",
        {"sheet": recall_sheet(song)},
        title=f"Recall sheet: {song}",
        base_url=request.build_absolute_uri(reverse("recall:song", args=[song.pk])),
        printed_at=timezone.now(),
    )
    return pdf_response(pdf, name=f"recall {song}")
