from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from gear.editing.form_pages import trail
from sessions.deliverables.broadcast import notes_inside
from sessions.deliverables.checking import Checked, checks_of, checks_of_each, due
from sessions.deliverables.listening.on_page import listening_of
from sessions.deliverables.mixes.tracking import heard_in
from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.deliverables.nulling.section import section_of
from sessions.deliverables.waveform import draw_waveform
from sessions.papers.ranges import file_answer
from sessions.songs.models import Song
from sessions.tasks.models import SOUND, Worker


def _song_of(request, pk) -> Song:
    songs = Song.objects.visible_to(request.user).select_related("project")
    return get_object_or_404(songs, pk=pk)


def _crumbs(song: Song, *here: str) -> list[tuple[str, str]]:
    crumbs = trail(("Songs", "songs:list"), song)
    if here:
        crumbs.append(("Deliverables", reverse("deliverables:list", args=[song.pk])))
    return [*crumbs, (here[0] if here else "Deliverables", "")]


def deliverable_list(request: HttpRequest, pk: int) -> HttpResponse:
    song = _song_of(request, pk)
    deliverables = list(song.deliverables.for_list())
    checks = checks_of_each(deliverables)
    context = {
        "song": song,
        "crumbs": _crumbs(song),
        "due": due(song.project.ordered, deliverables, checks),
        "deliverables": [(each, Checked.of(checks[each.pk])) for each in deliverables],
    }
    return TemplateResponse(request, "sessions/deliverables/deliverable_list.html", context)


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything that was measured on a deliverable, and what is worth knowing about it."""
    deliverables = Deliverable.objects.visible_to(request.user).for_list()
    deliverable = get_object_or_404(deliverables, pk=pk)
    context = {
        "deliverable": deliverable,
        "song": deliverable.song,
        "progress": _progress_of(deliverable),
        "listening": listening_of(deliverable),
        "checked": Checked.of(checks_of(deliverable)),
        "nulling": section_of(deliverable),
        "deliveries": deliverable.deliveries.for_list(),
        "heard_only": heard_in(deliverable),
        "files": [_shown(file) for file in deliverable.files.all() if file.is_measured],
        "crumbs": _crumbs(deliverable.song, str(deliverable)),
    }
    return TemplateResponse(request, "sessions/deliverables/deliverable_detail.html", context)


@require_safe
def progress(request: HttpRequest, pk: int) -> HttpResponse:
    """How far the files of a deliverable are, for its page, which asks until all are measured."""
    deliverables = Deliverable.objects.visible_to(request.user).prefetch_related("files")
    deliverable = get_object_or_404(deliverables, pk=pk)
    context = {"deliverable": deliverable, "progress": _progress_of(deliverable)}
    answer = TemplateResponse(request, "sessions/deliverables/_progress.html", context)
    if not context["progress"]["goes_on"]:
        context["progress"]["has_ended"] = True
        answer["HX-Trigger"] = "load-again"
    return answer


def _progress_of(deliverable: Deliverable) -> dict:
    files = list(deliverable.files.all())
    goes_on = any(file.is_unfinished for file in files)
    return {
        "files": files if goes_on else [file for file in files if not file.is_measured],
        "goes_on": goes_on,
        "no_worker": goes_on and not Worker.objects.alive(SOUND),
    }


def _shown(file: DeliverableFile) -> dict:
    return {
        "file": file,
        "inside": notes_inside(file),
        "picture": draw_waveform(file.waveform, title=f"Waveform of {file}, {file.length} long"),
    }


@require_safe
@cache_control(private=True, no_cache=True)
def download(request: HttpRequest, pk: int) -> HttpResponse:
    """The file as it was handed in; `?listen` shows it to the player in place of saving it."""
    file = get_object_or_404(DeliverableFile.objects.visible_to(request.user), pk=pk)
    if not file.file:
        raise Http404(f"Nothing of the file was kept: {file.refusal}")
    try:
        return file_answer(
            request,
            file.file,
            etag=f'"{file.sha256 or file.pk}"',
            content_type=file.format.content_type,
            filename=file.original_name,
            as_attachment="listen" not in request.GET,
        )
    except FileNotFoundError as missing:
        raise Http404(
            "The file is missing from the storage: restore it from the backup."
        ) from missing
