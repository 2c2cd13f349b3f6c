from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from sessions.recall.models import Rebuild


def rebuild_of(request: HttpRequest, pk: int) -> Rebuild:
    return get_object_or_404(Rebuild.objects.visible_to(request.user).with_names(), pk=pk)


def crumbs_above(song, imported) -> list[tuple[str, str]]:
    """The recall that is set up again."""
    recall = (f"Recall sheet of {song}", reverse("recall:song", args=[song.pk]))
    if imported:
        recall = (str(imported), imported.get_absolute_url())
    return [("Rebuilds", reverse("rebuild:list")), recall]


def crumbs_of(rebuild: Rebuild, here: str = "") -> list[tuple[str, str]]:
    """The checklist's page, or a page below it."""
    above = crumbs_above(rebuild.song, rebuild.imported)
    if not here:
        return [*above, ("Checklist", "")]
    return [*above, ("Checklist", rebuild.get_absolute_url()), (here, "")]
