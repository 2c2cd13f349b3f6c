from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_POST, require_safe

from gear.editing.versions import EditedMeanwhile, version_in
from gear.equipment.models import GearModel
from gear.panels.actions import revise_panel
from gear.panels.forms import ControlForm, ControlFormSet, described
from gear.panels.generic_kinds import GENERIC_KINDS
from gear.panels.models import Panel
from gear.panels.rows import PREFIX, as_rows, rearranged
from gear.panels.versions import changes_between, versions_of


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """The controls of a model; `do` changes the rows of the form and saves nothing."""
    model = get_object_or_404(GearModel, pk=pk)
    panel = model.current_panel() or Panel(model=model)
    if "do" in request.POST:
        return _rearranged(request, panel)
    formset = _formset(panel, as_rows(request.POST) if request.POST else None)
    if not (formset.is_bound and formset.is_valid()):
        seen = request.POST.get("seen", model.version)
        return _page(request, panel, formset, seen=seen, is_saving=formset.is_bound)
    try:
        saved = revise_panel(
            panel,
            controls=formset.controls(),
            by=request.user,
            version=version_in(request.POST.get("seen", "")),
        )
    except EditedMeanwhile as edited:
        theirs = edited.current.current_panel() or Panel(model=edited.current)
        messages.error(request, f"{edited} What you typed is still here.")
        saved = theirs.controls.all() if theirs.pk else ()
        context = {"compared": changes_between(saved, formset.controls())}
        seen = edited.current.version
        return _page(request, theirs, formset, seen=seen, status=409, **context)
    _message_saved(request, panel, saved)
    return redirect("panels:edit", model.pk)


@require_POST
def draw(request: HttpRequest) -> HttpResponse:
    """The drawing of the row that is being typed, and what is wrong with its marks."""
    prefix = request.POST.get("row", "")
    form = ControlForm(request.POST, prefix=prefix)
    context = {"form": form, "drawable": form.drawable(), "row": prefix}
    return TemplateResponse(request, "gear/panels/_drawn.html", context)


@require_safe
def versions(request: HttpRequest, pk: int) -> HttpResponse:
    """How the panel changed, from version to version: who, when, what."""
    model = get_object_or_404(GearModel, pk=pk)
    context = {"model": model, "versions": versions_of(model)}
    return TemplateResponse(request, "gear/panels/versions.html", context)


def _formset(panel: Panel, data: QueryDict | None):
    if data is not None:
        return ControlFormSet(data, prefix=PREFIX)
    controls = list(panel.controls.all()) if panel.pk else []
    return ControlFormSet(initial=described(controls), prefix=PREFIX)


def _rearranged(request, panel: Panel) -> HttpResponse:
    data, row = rearranged(request.POST)
    formset = _formset(panel, data)
    return _page(request, panel, formset, seen=request.POST.get("seen", ""), row=row)


def _page(request, panel, formset, *, seen, status=200, **context) -> HttpResponse:
    context |= {
        "model": panel.model,
        "panel": panel,
        "formset": formset,
        "seen": seen,
        "kinds": GENERIC_KINDS,
        "kind": request.POST.get("kind", ""),
    }
    return TemplateResponse(request, "gear/panels/edit.html", context, status=status)


def _message_saved(request, before: Panel, saved: Panel) -> None:
    said = f"Panel {saved.version} of {saved.model} saved."
    if before.pk and saved.pk != before.pk:
        said += f" Panel {before.version} stays as it is for the takes recorded on it."
    messages.success(request, said)
