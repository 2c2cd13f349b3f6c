from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from sessions.recall.models import Rebuild


def rebuild_of(request: HttpRequest, pk: int) -> Rebuild:
    rebuilds = Rebuild.objects.visible_to(request.user)
    rebuilds = rebuilds.select_related(
        "song__project", "carried", "started_by", "finished_by", "setup__session"
    )
    return get_object_or_404(rebuilds, pk=pk)


def crumbs_above(song, carried) -> list[tuple[str, str]]:
    """The recall that is set up again."""
    recall = (f"Recall of {song}", reverse("recall:song", args=[song.pk]))
    if carried:
        recall = (f"Recall {carried}", carried.get_absolute_url())
    return [("Rebuilds", reverse("rebuild:list")), recall]


def crumbs_of(rebuild: Rebuild, here: str = "") -> list[tuple[str, str]]:
    """The checklist's page, or a page below it."""
    above = crumbs_above(rebuild.song, rebuild.carried)
    if not here:
        return [*above, ("Checklist", "")]
    return [*above, ("Checklist", rebuild.get_absolute_url()), (here, "")]
