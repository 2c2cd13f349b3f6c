from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse

from sessions.recall.imported.chains import chains_of_data
from sessions.recall.models import ImportedSheet, Rebuild
from sessions.recall.rebuilds.actions import start_rebuild
from sessions.recall.rebuilds.forms import StartForm
from sessions.recall.rebuilds.views.common import crumbs_above
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.wanted import chains_of_revisions
from sessions.songs.models import Song

MOST_LISTED = 50


def rebuild_list(request: HttpRequest) -> HttpResponse:
    rebuilds = Rebuild.objects.visible_to(request.user).for_list()
    context = {
        "under_way": rebuilds.filter(finished_at=None),
        "finished": rebuilds.filter(finished_at__isnull=False)[:MOST_LISTED],
    }
    return TemplateResponse(request, "sessions/recall/rebuilds/list.html", context)


def start(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose which chains of a song's recall to set up again."""
    songs = Song.objects.visible_to(request.user).select_related("project__client")
    song = get_object_or_404(songs, pk=pk)
    chains = chains_of_revisions(chain.revision for chain in recall_sheet(song).chains)
    return _start_page(request, song, chains)


def start_imported(request: HttpRequest, pk: int) -> HttpResponse:
    """The same of an imported sheet, once it is kept for a song."""
    sheets = ImportedSheet.objects.visible_to(request.user).for_list()
    imported = get_object_or_404(sheets, pk=pk)
    if imported.song is None:
        messages.info(request, "Import it for a song first.")
        return redirect(imported)
    return _start_page(request, imported.song, chains_of_data(imported.data), imported)


def _start_page(request, song: Song, chains, imported: ImportedSheet | None = None) -> HttpResponse:
    form = StartForm(request.POST or None, chains=chains)
    if request.method == "POST" and form.is_valid():
        rebuild = start_rebuild(
            song, chains=form.cleaned_data["chains"], by=request.user, imported=imported
        )
        messages.success(request, f"{rebuild} started. Choose its units first.")
        return redirect("rebuild:units", rebuild.pk)
    crumbs = crumbs_above(song, imported)
    context = {
        "form": form,
        "song": song,
        "back": crumbs[-1][1],
        "has_chains": any(chain.stages for chain in chains),
        "rebuilds": song.rebuilds.filter(imported=imported).for_list(),
        "crumbs": [*crumbs, ("New rebuild", "")],
    }
    status = 422 if form.is_bound else 200
    return TemplateResponse(request, "sessions/recall/rebuilds/start.html", context, status=status)
