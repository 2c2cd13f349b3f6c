from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from sessions.recall.models import Rebuild, RebuildStep
from sessions.recall.rebuilds.cautions import cautions_of
from sessions.recall.rebuilds.changes import Stamp
from sessions.recall.rebuilds.lines import Checklist
from sessions.recall.rebuilds.no_signal import no_signal_in
from sessions.recall.rebuilds.pairs import groups_of


def rebuild_of(request: HttpRequest, pk: int) -> Rebuild:
    return get_object_or_404(Rebuild.objects.visible_to(request.user).with_names(), pk=pk)


def step_of(request: HttpRequest, pk: int) -> RebuildStep:
    steps = RebuildStep.objects.filter(rebuild__in=Rebuild.objects.visible_to(request.user))
    return get_object_or_404(steps, pk=pk)


def checklist_context(checklist: Checklist, stamp: Stamp) -> dict:
    """What the checklist and its live part show; the stamp is older than what was loaded, or as old,
    so that nothing is missed."""
    return {
        "rebuild": checklist.rebuild,
        "checklist": checklist,
        "stamp": stamp,
        "no_signal": no_signal_in(checklist),
        "cautions": cautions_of(checklist),
        "groups": groups_of(checklist.chains),
    }


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
