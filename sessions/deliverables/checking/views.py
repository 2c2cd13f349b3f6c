from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse

from sessions.clients.models import Project
from sessions.deliverables.checking import due_for


def project(request: HttpRequest, pk: int) -> HttpResponse:
    """What was ordered for each song of a project, and how far that is."""
    projects = Project.objects.visible_to(request.user).select_related("client")
    wanted = get_object_or_404(projects, pk=pk)
    songs = list(wanted.songs.all())
    found = due_for(songs, wanted.ordered)
    context = {"project": wanted, "rows": [(song, found[song.pk]) for song in songs]}
    return TemplateResponse(request, "sessions/deliverables/checking/project.html", context)
