from collections.abc import Iterable, Iterator

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from gear.comma_separated import csv_answer
from gear.editing.form_pages import trail
from sessions.bookings.models import CreditRole
from sessions.clients.models import Project
from sessions.reports.label_copy.copy import LabelCopy, label_copies
from sessions.reports.label_copy.stored import SONGS, songs_of
from sessions.rooms.models import Studio
from sessions.songs.models import Song

HEAD = [
    *("artist", "project", "song", "writers", "ISWC", "ISRC", "role", "instrument", "name"),
    *("recorded on", "studio", "rooms"),
]


def _song_of(request: HttpRequest, pk: int) -> Song:
    return get_object_or_404(SONGS.visible_to(request.user), pk=pk)


def _project_of(request: HttpRequest, pk: int) -> Project:
    return get_object_or_404(Project.objects.visible_to(request.user), pk=pk)


def song(request: HttpRequest, pk: int) -> HttpResponse:
    song = _song_of(request, pk)
    crumbs = trail(("Songs", "songs:list"), song.project, song)
    return _page(request, song, label_copies([song]), "song", crumbs)


def project(request: HttpRequest, pk: int) -> HttpResponse:
    project = _project_of(request, pk)
    crumbs = trail(project)
    return _page(request, project, label_copies(songs_of(project)), "project", crumbs)


def _page(
    request, subject: Song | Project, copies: list[LabelCopy], of: str, crumbs
) -> HttpResponse:
    """What is missing is told to the house only."""
    context = {
        "subject": subject,
        "project": subject if of == "project" else subject.project,
        "copies": copies,
        "house": Studio.current().name,
        "csv": f"label_copy:{of}_csv",
        "pdf": f"label_copy:{of}_pdf",
        "with_missing": request.user.has_perm("studio_sessions.see_contacts"),
        "crumbs": [*crumbs, ("Label copy", "")],
    }
    return TemplateResponse(request, "sessions/reports/label_copy/page.html", context)


@require_safe
def song_csv(request: HttpRequest, pk: int) -> StreamingHttpResponse:
    """A row for each name and what it is credited for."""
    song = _song_of(request, pk)
    return _csv(song, label_copies([song]))


@require_safe
def project_csv(request: HttpRequest, pk: int) -> StreamingHttpResponse:
    project = _project_of(request, pk)
    return _csv(project, label_copies(songs_of(project)))


def _csv(subject: Song | Project, copies: list[LabelCopy]) -> StreamingHttpResponse:
    name = f"{slugify(f'Label copy: {subject}', allow_unicode=True)}.csv"
    return csv_answer(name, HEAD, _rows(copies, house=Studio.current().name))


def _rows(copies: Iterable[LabelCopy], *, house: str) -> Iterator[list[str]]:
    for copy in copies:
        song = copy.song
        before = [song.project.artist, song.project.name, song.title, song.writers]
        before += [song.iswc_printed, song.isrc_printed]
        after = ["; ".join(f"{day}" for day in copy.days), house]
        after += ["; ".join(copy.rooms)]
        for credit in _credit_rows(copy) or [("", "", "")]:
            yield [*before, *credit, *after]


def _credit_rows(copy: LabelCopy) -> list[tuple[str, str, str]]:
    """Role, instrument, name; a song without any credit has its row, too."""
    performers = [
        (
            CreditRole(each.role).label,
            "" if does == CreditRole(each.role).label else does,
            each.name,
        )
        for each in copy.performers
        for does in each.does
    ]
    return performers + [(role, "", name) for role, names in copy.staff for name in names]
