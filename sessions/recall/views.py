from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.cache import get_conditional_response, patch_cache_control
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods

from sessions.paper import PaperSize, pdf_response
from sessions.recall.data import MEDIA_TYPE, recall_json
from sessions.recall.keeping import house_stamp, known_paper, make_paper, paper_of
from sessions.recall.making import move_on, try_again
from sessions.recall.models import KeptPaper, PaperState
from sessions.recall.sheet import recall_sheet
from sessions.songs.models import Song

MADE_AT_ONCE = 4  # chains; more take longer than somebody should wait for a page


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


@require_http_methods(["GET", "HEAD", "POST"])
def song_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same on paper, which carries the data: the one that was kept, or it is made.

    A long one is made off the request; the page then looks again by itself. POST tries again.
    """
    song = _song_of(request, pk)
    asked = {"size": _paper_size(request), "address": _address(request, song)}
    stamp = house_stamp()
    paper = known_paper(song, **asked, stamp=stamp)
    if paper is None:
        sheet = recall_sheet(song)
        paper = paper_of(sheet, **asked, stamp=stamp)
        if paper.state != PaperState.KEPT and len(sheet.chains) <= MADE_AT_ONCE:
            make_paper(paper)
    if paper.state == PaperState.KEPT:
        return _kept_file(request, paper, song)
    if request.method == "POST":
        try_again(paper)
        return redirect(request.get_full_path())
    move_on(paper)
    paper.refresh_from_db()
    context = {"paper": paper, "song": song}
    return TemplateResponse(request, "sessions/recall/making.html", context, status=202)


def _kept_file(request: HttpRequest, paper: KeptPaper, song: Song) -> HttpResponse:
    etag = f'"{paper.key}"'
    if known := get_conditional_response(request, etag=etag):
        return known
    try:
        with paper.file.open() as file:
            answer = pdf_response(file.read(), name=f"recall {song}")
    except FileNotFoundError:  # a store that was tidied by hand
        paper.delete()
        return redirect(request.get_full_path())
    answer["ETag"] = etag
    patch_cache_control(answer, private=True, no_cache=True)
    return answer


def _paper_size(request: HttpRequest) -> PaperSize:
    """As `?paper=` says; A4 where it says nothing that we have."""
    wanted = request.GET.get("paper", "")
    return PaperSize(wanted) if wanted in set(PaperSize) else PaperSize.A4


def _address(request: HttpRequest, song: Song) -> str:
    return request.build_absolute_uri(reverse("recall:song", args=[song.pk]))


def _file_name(song: Song) -> str:
    return f"recall-{slugify(song.title)}".rstrip("-")
