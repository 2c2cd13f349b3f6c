from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse

from gear.equipment.models import GearModel
from gear.panels.actions import PanelChanged, revise_panel
from gear.panels.forms import ControlFormSet, described
from gear.panels.models import Control, Panel


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    model = get_object_or_404(GearModel, pk=pk)
    panel = model.current_panel() or Panel(model=model)
    controls = list(panel.controls.all()) if panel.pk else []
    formset = ControlFormSet(request.POST or None, initial=described(controls), prefix="controls")
    if not (formset.is_bound and formset.is_valid()):
        seen = request.POST.get("seen") or panel.fingerprint()
        return _page(request, panel, formset, seen=seen)
    try:
        saved = revise_panel(
            panel, controls=formset.controls(), by=request.user, seen=request.POST.get("seen", "")
        )
    except PanelChanged as changed:
        theirs = changed.current or Panel(model=model)
        messages.error(request, f"{changed} What you typed is still here.")
        context = {"compared": _side_by_side(formset.controls(), theirs)}
        return _page(request, theirs, formset, seen=theirs.fingerprint(), status=409, **context)
    _say_saved(request, panel, saved)
    return redirect("panels:edit", model.pk)


def _page(request, panel, formset, *, seen, status=200, **context) -> HttpResponse:
    context |= {"model": panel.model, "panel": panel, "formset": formset, "seen": seen}
    return TemplateResponse(request, "gear/panels/edit.html", context, status=status)


def _say_saved(request, before: Panel, saved: Panel) -> None:
    said = f"Panel {saved.version} of {saved.model} is saved."
    if before.pk and saved.pk != before.pk:
        said += f" Panel {before.version} stays as it is for the takes recorded on it."
    messages.success(request, said)


def _side_by_side(mine: list[Control], theirs: Panel) -> list[dict]:
    """Each control's description, as typed and as saved by the other editor."""
    typed = {control.key: control.description() for control in mine}
    saved = {control.key: control.description() for control in theirs.controls.all()}
    return [
        {"key": key, "mine": typed.get(key), "theirs": saved.get(key)}
        for key in dict.fromkeys([*typed, *saved])
    ]
