from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.text import slugify

from sessions.paper import Enclosure, PaperSize, pdf_response, render_pdf
from sessions.recall.data import ENCLOSED_AS, MEDIA_TYPE, recall_json
from sessions.recall.sheet import recall_sheet
from sessions.songs.models import Song


def _song_of(request, pk) -> Song:
    songs = Song.objects.visible_to(request.user).select_related("project__client")
    return get_object_or_404(songs, pk=pk)


def song(request: HttpRequest, pk: int) -> HttpResponse:
    """What was chosen for a song, and every chain behind it."""
    sheet = recall_sheet(_song_of(request, pk))
    return TemplateResponse(request, "sessions/recall/song.html", {"sheet": sheet})


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


def song_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same on paper, which carries the data."""
    song = _song_of(request, pk)
    sheet, address = recall_sheet(song), _address(request, song)
    data = recall_json(sheet, studio=settings.STUDIO_NAME, address=address)
    pdf = render_pdf(
        "sessions/recall/sheet.html",
        {"sheet": sheet},
        title=f"Recall sheet: {song}",
        base_url=address,
        printed_at=timezone.now(),
        size=_paper_size(request),
        enclosure=Enclosure(ENCLOSED_AS, data, "What this sheet prints, as data"),
    )
    return pdf_response(pdf, name=f"recall {song}")


def _paper_size(request: HttpRequest) -> PaperSize:
    """As `?paper=` says; A4 where it says nothing that we have."""
    wanted = request.GET.get("paper", "")
    return PaperSize(wanted) if wanted in set(PaperSize) else PaperSize.A4


def _address(request: HttpRequest, song: Song) -> str:
    return request.build_absolute_uri(reverse("recall:song", args=[song.pk]))


def _file_name(song: Song) -> str:
    return f"recall-{slugify(song.title)}".rstrip("-")
