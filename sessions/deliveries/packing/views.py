"""Packs for those who sign in: all that may leave the house, with every paper."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.deliveries.models import Paper
from sessions.deliveries.packing.packs import pack_answer
from sessions.songs.models import Song

FILES = DeliverableFile.objects.ready().select_related("deliverable")


@require_safe
def of_deliverable(request: HttpRequest, pk: int) -> HttpResponse:
    deliverables = Deliverable.objects.visible_to(request.user).select_related("song__project")
    deliverable = get_object_or_404(deliverables, pk=pk)
    song = deliverable.song
    files = FILES.filter(deliverable=deliverable)
    return pack_answer(request, song, files=files, title=f"{song}, {deliverable}", papers=Paper)


@require_safe
def of_song(request: HttpRequest, pk: int) -> HttpResponse:
    """The newest version of each kind."""
    songs = Song.objects.visible_to(request.user).select_related("project")
    song = get_object_or_404(songs, pk=pk)
    newest = {each.kind: each.pk for each in song.deliverables.order_by("version")}
    files = FILES.filter(deliverable__in=newest.values())
    order = ("deliverable__kind", "original_name", "pk")
    return pack_answer(request, song, files=files.order_by(*order), title=str(song), papers=Paper)
