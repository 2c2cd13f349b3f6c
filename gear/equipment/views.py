from collections.abc import Callable

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe

from gear.asked import in_pages, whole_number
from gear.equipment.actions import report_fault, work_on_fault
from gear.equipment.cautions import BENCH, cautions_for
from gear.equipment.filters import GearModelFilter, UnitFilter
from gear.equipment.forms import FaultForm, FaultWorkForm, GearModelForm, UnitForm
from gear.equipment.models import Fault, GearModel, Unit
from gear.equipment.tables import GearModelTable, UnitTable


@require_safe
def unit_list(request: HttpRequest) -> HttpResponse:
    return _list(request, "gear/equipment/unit_list.html", *found_units(request))


@require_safe
def model_list(request: HttpRequest) -> HttpResponse:
    return _list(request, "gear/equipment/model_list.html", *found_models(request))


def found_units(request: HttpRequest) -> tuple[UnitFilter, UnitTable]:
    found = UnitFilter(request.GET, Unit.objects.for_list().with_open_faults())
    return found, UnitTable(found.qs)


def found_models(request: HttpRequest) -> tuple[GearModelFilter, GearModelTable]:
    found = GearModelFilter(request.GET, GearModel.objects.for_list())
    return found, GearModelTable(found.qs)


def _list(request, template, found, table) -> HttpResponse:
    in_pages(request, table, 50)
    return TemplateResponse(request, template, {"filter": found, "table": table})


@require_safe
def unit_detail(request: HttpRequest, pk: int) -> HttpResponse:
    unit = get_object_or_404(Unit.objects.for_list(), pk=pk)
    return TemplateResponse(
        request,
        "gear/equipment/unit_detail.html",
        {
            "unit": unit,
            "cautions": cautions_for(unit.model),
            "notices": unit.notices(),
            "points": unit.patch_points.for_list(),
            "supplied": unit.supplies.for_list(),
            "faults": unit.faults.select_related("reported_by"),
        },
    )


def unit_create(request: HttpRequest) -> HttpResponse:
    return _edit_unit(request, Unit(model_id=whole_number(request.GET.get("model"))))


def unit_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return _edit_unit(request, get_object_or_404(Unit.objects.for_list(), pk=pk))


def _edit_unit(request, unit) -> HttpResponse:
    form = UnitForm(request.POST or None, instance=unit)
    if _is_saved(form, form.save):
        return _to(request, unit)
    return _form(request, form, "gear/equipment/unit_form.html", unit=unit)


@require_safe
def model_detail(request: HttpRequest, pk: int) -> HttpResponse:
    model = get_object_or_404(GearModel, pk=pk)
    panel = model.current_panel()
    return TemplateResponse(
        request,
        "gear/equipment/model_detail.html",
        {
            "model": model,
            "cautions": cautions_for(model),
            "notices": model.notices(),
            "panel": panel,
            "controls": panel.controls.all() if panel else [],
            "units": model.units.for_list(),
        },
    )


def model_create(request: HttpRequest) -> HttpResponse:
    return _edit_model(request, GearModel())


def model_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return _edit_model(request, get_object_or_404(GearModel, pk=pk))


def _edit_model(request, model) -> HttpResponse:
    form = GearModelForm(request.POST or None, instance=model)
    if _is_saved(form, form.save):
        return _to(request, model)
    return _form(request, form, "gear/equipment/model_form.html", model=model)


def fault_create(request: HttpRequest, pk: int) -> HttpResponse:
    unit = get_object_or_404(Unit.objects.for_list(), pk=pk)
    form = FaultForm(request.POST or None)
    if form.is_valid():
        report_fault(
            unit,
            description=form.cleaned_data["description"],
            to_bench=form.cleaned_data["to_bench"],
            by=request.user,
        )
        messages.success(request, f"The fault of {unit} is reported.")
        return redirect(unit)
    return _form(
        request,
        form,
        "gear/equipment/fault_form.html",
        unit=unit,
        cautions=cautions_for(unit.model),
    )


def fault_edit(request: HttpRequest, pk: int) -> HttpResponse:
    fault = get_object_or_404(Fault.objects.for_list(), pk=pk)
    form = FaultWorkForm(request.POST or None, instance=fault)
    if _is_saved(form, lambda: work_on_fault(fault, **form.cleaned_data, by=request.user)):
        messages.success(request, f"Saved: the fault is {fault.get_state_display().lower()}.")
        return redirect(fault.unit)
    return _form(
        request,
        form,
        "gear/equipment/fault_form.html",
        unit=fault.unit,
        fault=fault,
        cautions=[*cautions_for(fault.unit.model), BENCH],
    )


def _is_saved(form, save: Callable[[], object]) -> bool:
    if not form.is_bound:
        return False
    with transaction.atomic():
        # The row is held, so that no other edit comes between the form's check and the save.
        type(form.instance).objects.select_for_update().filter(pk=form.instance.pk).first()
        if not form.is_valid():
            return False
        save()
    return True


def _to(request, thing: Unit | GearModel) -> HttpResponse:
    messages.success(request, f"{thing} is saved.")
    return redirect(thing)


def _form(request, form, template, **context) -> HttpResponse:
    return TemplateResponse(request, template, {"form": form, **context})
