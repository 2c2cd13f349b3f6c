from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.http import http_date
from django.views.decorators.http import require_safe

from gear.editing.form_pages import trail
from sessions.deliverables.models import DeliverableFile
from sessions.deliverables.uploads import arriving
from sessions.deliverables.uploads.forms import AboutForm, SentForm
from sessions.deliverables.uploads.models import Upload, UploadState
from sessions.deliverables.uploads.tus import (
    Refused,
    metadata_in,
    number_in,
    piece_in,
    speaks_tus,
)
from sessions.songs.models import Song

MOST_AT_ONCE = 1000  # unfinished uploads of one person


def _song_of(request, pk) -> Song:
    songs = Song.objects.visible_to(request.user).select_related("project")
    return get_object_or_404(songs, pk=pk)


@require_safe
def page(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose files and upload them, or go on with those that were cut off. `?to=` is the deliverable
    that they are added to."""
    song = _song_of(request, pk)
    to = request.GET.get("to", "")
    add_to = get_object_or_404(song.deliverables, pk=to) if to.isdecimal() else None
    deliverables = ("Deliverables", reverse("deliverables:list", args=[song.pk]))
    context = {
        "song": song,
        "add_to": add_to,
        "form": AboutForm(),
        "crumbs": [*trail(("Songs", "songs:list"), song), deliverables, ("Upload", "")],
        "unfinished": Upload.objects.visible_to(request.user).unfinished(song),
        "on_record": _on_record(song),
        "most": settings.UPLOAD_LIMIT_BYTES,
    }
    return TemplateResponse(request, "sessions/deliverables/uploads/page.html", context)


def _on_record(song: Song) -> list[tuple[str, int, str]]:
    """Name, size and deliverable of the song's files, so that the page can say what is there."""
    files = DeliverableFile.objects.filter(deliverable__song=song).select_related("deliverable")
    return [(file.original_name, file.size_bytes, str(file.deliverable)) for file in files]


@speaks_tus("POST")
def create(request: HttpRequest, method: str, pk: int) -> HttpResponse:
    """The upload of one file begins: what is said of it, and how long it is."""
    song = _song_of(request, pk)
    sent = metadata_in(request) | {"size": number_in(request, "Upload-Length")}
    form = SentForm(sent, song=song)
    if not form.is_valid():
        raise Refused(_status_of(form), " ".join(_sentences(form)))
    facts = form.cleaned_data
    own = Upload.objects.filter(by=request.user)
    if own.arriving().count() >= MOST_AT_ONCE:
        raise Refused(429, f"{MOST_AT_ONCE} uploads are not complete: resume or remove some first.")
    size = facts.pop("size")
    try:
        arriving.refuse_without_room(size)
    except arriving.DiskFull as full:
        raise Refused(507, str(full)) from full
    facts |= {"original_name": facts.pop("filename"), "modified": facts["modified"] or 0}
    upload = Upload.objects.create(song=song, size_bytes=size, by=request.user, **facts)
    return _state_of(upload, 201, Location=upload.get_absolute_url())


def _status_of(form: SentForm) -> int:
    return 413 if form.has_error("size", "too large") else 400


def _sentences(form: SentForm) -> list[str]:
    return [
        error if name in ("size", "__all__") else f"{form[name].label}: {error}"
        for name, errors in form.errors.items()
        for error in errors
    ]


@speaks_tus("HEAD", "PATCH", "DELETE")
def pieces(request: HttpRequest, method: str, pk) -> HttpResponse:
    """How far an upload is, its next piece, or its end."""
    upload = get_object_or_404(Upload.objects.visible_to(request.user), pk=pk)
    try:
        if method == "PATCH":
            offset = number_in(request, "Upload-Offset")
            piece = piece_in(request, most=arriving.PIECE_BYTES)
            if offset + len(piece) > upload.size_bytes:
                raise Refused(413, "The file is longer than was said when its upload began.")
            arriving.append(upload, piece, at=offset)
        elif method == "DELETE":
            if upload.state == UploadState.LANDED:
                raise Refused(409, f"{upload} was saved as {upload.file.deliverable}.")
            arriving.discard(upload)
            return HttpResponse(status=204)
    except arriving.Locked:
        raise Refused(423, "Another window is sending this file at this moment.") from None
    except arriving.WrongOffset:
        raise Refused(
            409, "The piece does not follow what is here.", **_headers_of(upload)
        ) from None
    except arriving.DiskFull as full:
        raise Refused(507, str(full)) from full
    except Upload.DoesNotExist:
        raise Refused(404, "This upload was removed.") from None
    return _state_of(upload, 200 if method == "HEAD" else 204)


def _state_of(upload: Upload, status: int, **headers) -> HttpResponse:
    if upload.state == UploadState.REFUSED:
        raise Refused(410 if status == 200 else 422, upload.refusal)
    return HttpResponse(status=status, headers=_headers_of(upload) | headers)


def _headers_of(upload: Upload) -> dict:
    headers = {"Upload-Offset": upload.offset, "Upload-Length": upload.size_bytes}
    if upload.state == UploadState.LANDED:
        headers["Studio-Deliverable"] = upload.file.deliverable.get_absolute_url()
    else:
        headers["Upload-Expires"] = http_date(upload.expires_at.timestamp())
    return headers
