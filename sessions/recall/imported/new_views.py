"""A sheet kept for a song that is made from it, with its project and its client where they are new."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse

from sessions.recall.imported.actions import ImportRefused, import_as_new
from sessions.recall.imported.alike import cleaned
from sessions.recall.imported.new_forms import NewClientForm, NewProjectForm, NewSongForm
from sessions.recall.models import ImportedSheet
from sessions.songs.models import Part

MOST_PARTS = 60


def new_song(request: HttpRequest, pk: int, *, may_be_new: bool) -> HttpResponse:
    """`may_be_new`: client and project, too; else the song is one of a project that is here."""
    imported = get_object_or_404(ImportedSheet.objects.visible_to(request.user), pk=pk)
    if imported.song_id is not None:
        return redirect(imported)
    told, parts = imported.data["song"], _parts(imported.data)
    data = request.POST or None
    client = NewClientForm(data, song=told) if may_be_new else None
    project = NewProjectForm(data, song=told, user=request.user, may_be_new=may_be_new)
    song = NewSongForm(data, song=told, parts=list(parts))
    forms = [form for form in (client, project, song) if form]
    if data is not None and _are_valid(client, project, song):
        try:
            kept = import_as_new(
                imported,
                client=client.client if client and not project.project.pk else None,
                project=project.project,
                song=song.save(commit=False),
                parts=parts.items() if song.cleaned_data.get("with_parts") else (),
                by=request.user,
            )
        except ImportRefused as refusal:
            messages.info(request, str(refusal))
        else:
            messages.success(request, f"Imported for {kept.song}, which is new.")
        return redirect(imported)
    context = {
        "imported": imported,
        "forms": forms,
        "crumbs": [
            ("Imported sheets", reverse("imported:list")),
            (str(imported), imported.get_absolute_url()),
            ("New song", ""),
        ],
    }
    status = 200 if data is None else 422
    return TemplateResponse(request, "sessions/recall/imported/new.html", context, status=status)


def _are_valid(client: NewClientForm | None, project: NewProjectForm, song: NewSongForm) -> bool:
    """All are asked, so that all say what is wrong. A client counts only for a new project."""
    project_holds = project.is_valid()
    is_new = project_holds and not project.project.pk
    client_holds = client.is_valid() if client and (is_new or not project_holds) else True
    if song.is_valid() and project_holds:
        song.check_title(project.project)
        if client and client_holds and is_new and client.client.pk:
            project.check_name(client.client)
    return project_holds and client_holds and song.is_valid() and project.is_valid()


def _parts(data: dict) -> dict[str, str]:
    """The parts of the chosen takes and who played them, as there is room for them here."""
    most = Part._meta.get_field("name").max_length
    found: dict[str, str] = {}
    for take in data["takes"]:
        if name := cleaned(take["part"], most):
            found[name] = found.get(name) or cleaned(take["performer"], 120)
    return dict(list(found.items())[:MOST_PARTS])
