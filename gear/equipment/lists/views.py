"""Units and models come in as CSV; they go out on their own pages."""

from collections.abc import Callable
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse

from gear.equipment.lists.actions import NotAsShown, import_list
from gear.equipment.lists.columns import MODEL_HEAD, UNIT_HEAD
from gear.equipment.lists.forms import ListForm
from gear.equipment.lists.models_list import plan_models
from gear.equipment.lists.plan import Plan
from gear.equipment.lists.units_list import plan_units


@dataclass(frozen=True)
class Listed:
    """What a list is of, and how such a list is read."""

    things: str
    head: list[str]
    plan_of: Callable[..., Plan]
    page: str


UNITS = Listed("units", UNIT_HEAD, plan_units, "equipment:list")
MODELS = Listed("models", MODEL_HEAD, plan_models, "equipment:models")


def import_units(request: HttpRequest) -> HttpResponse:
    return _import(request, UNITS)


def import_models(request: HttpRequest) -> HttpResponse:
    return _import(request, MODELS)


def _import(request, listed: Listed) -> HttpResponse:
    """First show what the list would do, then do that."""
    form = ListForm(request.POST or None, request.FILES or None)
    if not form.is_valid():
        return _page(request, listed, form)
    text, shown = form.cleaned_data["text"], form.cleaned_data["shown"]
    if "import" not in request.POST or form.cleaned_data["file"]:
        return _planned(request, listed, text)
    try:
        plan = import_list(listed.plan_of, text, shown=shown, by=request.user)
    except NotAsShown as refusal:
        messages.warning(request, str(refusal))
        return _planned(request, listed, text, status=409)
    made, changed = len(plan.to_make), len(plan.to_change)
    messages.success(request, f"{made} {listed.things} added, {changed} changed.")
    return redirect(listed.page)


def _planned(request, listed: Listed, text: str, status: int = 200) -> HttpResponse:
    plan = listed.plan_of(text)
    form = ListForm(initial={"text": text, "shown": plan.fingerprint()})
    return _page(request, listed, form, plan=plan, status=status)


def _page(request, listed: Listed, form, *, plan: Plan | None = None, status=200) -> HttpResponse:
    context = {"listed": listed, "form": form, "plan": plan}
    return TemplateResponse(request, "gear/equipment/import.html", context, status=status)
