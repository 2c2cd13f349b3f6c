from functools import partial

from django.contrib import messages
from django.db.models import Prefetch
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.editing.versions import EditedMeanwhile
from gear.equipment.models import Unit
from gear.panels.models import Panel
from sessions.setups.chains.actions import (
    OutOfService,
    Seen,
    add_stage,
    change_stage,
    move_stage,
    remove_stage,
)
from sessions.setups.chains.asking import why_ask
from sessions.setups.chains.forms import SeenForm, StageForm, values_of
from sessions.setups.chains.views.meanwhile import both_versions
from sessions.setups.chains.views.messages import message_saved
from sessions.setups.models import Photo, Revision, Stage

OUT_OF_DATE = (
    "Somebody changed this chain while you were looking at it, so nothing was done. "
    "Press again if you still want to."
)


def stage_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Path, patch points and every control of one unit in the chain."""
    photos = Prefetch("revision__chain__setup__photos", Photo.objects.for_list())
    stage = _stages_of(request).prefetch_related(photos).filter(pk=pk).first()
    if stage is None:
        return _taken_out(request, pk)
    unit, panel = stage.unit, stage.panel or stage.unit.model.current_panel()
    revision = stage.revision
    form = StageForm(
        request.POST or None,
        unit=unit,
        controls=_controls(panel),
        initial=_as_typed(stage),
        why_ask=partial(why_ask, stage),
    )
    if request.method == "POST" and form.is_valid():
        seen = form.cleaned_data["seen"]
        try:
            stage = change_stage(stage, seen=seen, by=request.user, panel=panel, **form.facts())
        except EditedMeanwhile as meanwhile:
            return _stage_twice(request, meanwhile.current, unit=unit, panel=panel, stage=stage)
        return _saved(request, f"{unit} saved.", revision, stage)
    return _stage_page(request, form, revision=revision, unit=unit, panel=panel, stage=stage)


@require_POST
def stage_move(request: HttpRequest, pk: int) -> HttpResponse:
    """One place towards the source (`towards=source`) or the track."""
    stage = get_object_or_404(_stages_of(request), pk=pk)
    revision, form = stage.revision, SeenForm(request.POST)
    try:
        if form.is_valid():
            towards_source = request.POST.get("towards") == "source"
            stage = move_stage(
                stage, by=request.user, towards_source=towards_source, **form.cleaned_data
            )
            return _saved(request, f"{stage.unit} is unit {stage.position} now.", revision, stage)
    except EditedMeanwhile:
        pass
    messages.warning(request, OUT_OF_DATE)
    return redirect(revision.chain)


def stage_delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then take the stage out of the chain."""
    stage = get_object_or_404(_stages_of(request), pk=pk)
    revision, chain = stage.revision, stage.revision.chain
    form = SeenForm(request.POST or None, initial={"seen": Seen.of(revision)})
    if request.method == "POST":
        try:
            if form.is_valid():
                after = remove_stage(stage, by=request.user, **form.cleaned_data)
                message_saved(request, f"{stage.unit} removed.", before=revision, after=after)
                return redirect(chain)
        except EditedMeanwhile:
            pass
        messages.warning(request, OUT_OF_DATE)
        return redirect(chain)
    context = {"stage": stage, "chain": chain, "revision": revision, "form": form}
    return TemplateResponse(request, "sessions/setups/chains/stage_delete.html", context)


def _stages_of(request):
    return (
        Stage.objects.visible_to(request.user)
        .for_list()
        .select_related("revision__chain__setup__session", "revision__chain__source")
    )


def _controls(panel: Panel | None) -> list:
    return list(panel.controls.all()) if panel else []


def _as_typed(stage: Stage, revision: Revision | None = None) -> dict:
    """The stage as the form's starting values."""
    return values_of(stage) | {"seen": Seen.of(revision or stage.revision)}


def _stage_page(request, form, *, revision, unit, panel, stage=None) -> HttpResponse:
    context = {
        "form": form,
        "chain": revision.chain,
        "unit": unit,
        "panel": panel,
        "revision": revision,
        "stage": stage,
    }
    return TemplateResponse(request, "sessions/setups/chains/stage_form.html", context)


def _taken_out(request, pk: int) -> HttpResponse:
    """The stage is not there (any more). Who typed something for it is told, and can put the unit
    back in with that, at the end."""
    entry = Stage.history.filter(id=pk, history_type="-").first()
    if request.method != "POST" or entry is None:
        raise Http404("No such unit in the chains that you may see.")
    revision = get_object_or_404(Revision.objects.visible_to(request.user), pk=entry.revision_id)
    unit = Unit.objects.select_related("model").get(pk=entry.unit_id)
    panel = Panel.objects.filter(pk=entry.panel_id).first()
    newest = revision.chain.newest_revision()
    form = StageForm(request.POST, unit=unit, controls=_controls(panel))
    if form.is_valid():
        return _put_back(request, form, newest, unit=unit, panel=panel)
    return _stage_twice(request, newest, unit=unit, panel=panel)


def _put_back(request, form, revision, *, unit, panel) -> HttpResponse:
    """Whose form does not know yet that it was taken out has not seen the chain as it is now."""
    seen, facts = form.cleaned_data["seen"], form.facts()
    try:
        stage = add_stage(
            revision.chain, seen=seen, by=request.user, unit=unit, panel=panel, **facts
        )
    except OutOfService as refusal:
        form.add_error(None, str(refusal))
        return _stage_page(request, form, revision=revision, unit=unit, panel=panel)
    except EditedMeanwhile as meanwhile:
        return _stage_twice(request, meanwhile.current, unit=unit, panel=panel)
    return _saved(request, f"{unit} is back in the chain.", revision, stage)


def _stage_twice(request, current, *, unit, panel, stage=None) -> HttpResponse:
    """Both versions of a stage: in `current` it may be another row, or not be there at all."""
    current = Revision.objects.with_stages().get(pk=current.pk)
    saved = _counterpart(current, stage, unit)
    controls = _controls(saved.panel if saved and saved.panel else panel)
    address = reverse("setups:stage_edit", args=[saved.pk]) if saved else ""
    now = _as_typed(saved, current) if saved else {}
    return both_versions(
        request,
        current,
        partial(StageForm, unit=unit, controls=controls, initial=now),
        what=f"{unit} in the chain {current.chain}",
        address=address,
        is_gone=saved is None,
    )


def _counterpart(revision: Revision, stage: Stage | None, unit: Unit) -> Stage | None:
    """The same stage in the revision: the row itself, else the one of the same unit."""
    stages = list(revision.stages.all())
    same = [found for found in stages if stage and found.pk == stage.pk]
    of_unit = [found for found in stages if found.unit_id == unit.pk]
    return next(iter(same or of_unit), None)


def _saved(request, text: str, before: Revision, stage: Stage) -> HttpResponse:
    message_saved(request, text, before=before, after=stage.revision)
    return redirect(f"{stage.revision.chain.get_absolute_url()}#stage-{stage.position}")
