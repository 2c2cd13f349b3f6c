from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe

from gear.asked import whole_number
from gear.editing.form_pages import create_page, edit_page, form_page, trail
from gear.equipment.actions import report_fault, work_on_fault
from gear.equipment.cautions import BENCH, cautions_for
from gear.equipment.filters import GearModelFilter, UnitFilter
from gear.equipment.forms import FaultForm, FaultWorkForm, GearModelForm, UnitForm
from gear.equipment.models import Fault, GearModel, Unit
from gear.equipment.tables import GearModelTable, UnitTable
from gear.list_pages import list_page

GEAR = ("Gear", "equipment:list")
MODELS = ("Models", "equipment:models")
UNIT_FORM = "gear/equipment/unit_form.html"
MODEL_FORM = "gear/equipment/model_form.html"
FAULT_FORM = "gear/equipment/fault_form.html"


@require_safe
def unit_list(request: HttpRequest) -> HttpResponse:
    found = UnitFilter(request.GET, Unit.objects.for_list().with_open_faults())
    return _list(request, "gear/equipment/unit_list.html", found, UnitTable(found.qs))


@require_safe
def model_list(request: HttpRequest) -> HttpResponse:
    found = GearModelFilter(request.GET, GearModel.objects.for_list())
    return _list(request, "gear/equipment/model_list.html", found, GearModelTable(found.qs))


def _list(request, template, found, table) -> HttpResponse:
    return list_page(request, table, template, {"filter": found}, per_page=50)


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
    unit = Unit(model_id=whole_number(request.GET.get("model")))
    form = UnitForm(request.POST or None, instance=unit)
    return create_page(request, form, title="Add a unit", crumbs=trail(GEAR), template=UNIT_FORM)


def unit_edit(request: HttpRequest, pk: int) -> HttpResponse:
    unit = get_object_or_404(Unit.objects.for_list(), pk=pk)
    form = UnitForm(request.POST or None, instance=unit)
    return edit_page(request, form, crumbs=trail(GEAR, unit), template=UNIT_FORM)


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
    form = GearModelForm(request.POST or None)
    crumbs = trail(MODELS)
    return create_page(request, form, title="Add a model", crumbs=crumbs, template=MODEL_FORM)


def model_edit(request: HttpRequest, pk: int) -> HttpResponse:
    model = get_object_or_404(GearModel, pk=pk)
    form = GearModelForm(request.POST or None, instance=model)
    return edit_page(request, form, crumbs=trail(MODELS, model), template=MODEL_FORM)


def fault_create(request: HttpRequest, pk: int) -> HttpResponse:
    unit = get_object_or_404(Unit.objects.for_list(), pk=pk)
    form = FaultForm(request.POST or None, unit=unit)
    if form.is_valid():
        report_fault(unit, **form.cleaned_data, by=request.user)
        messages.success(request, f"Fault of {unit} reported.")
        return redirect(unit)
    return form_page(
        request,
        form,
        title="Report a fault",
        crumbs=trail(GEAR, unit),
        template=FAULT_FORM,
        unit=unit,
        cautions=cautions_for(unit.model),
    )


def fault_edit(request: HttpRequest, pk: int) -> HttpResponse:
    fault = get_object_or_404(Fault.objects.for_list(), pk=pk)
    form = FaultWorkForm(request.POST or None, instance=fault)
    return edit_page(
        request,
        form,
        save=lambda version: work_on_fault(
            fault, version=version, **form.cleaned_data, by=request.user
        ),
        title="Fault",
        then=f"Fault of {fault.unit} saved.",
        crumbs=trail(GEAR, fault.unit),
        template=FAULT_FORM,
        unit=fault.unit,
        fault=fault,
        cautions=[*cautions_for(fault.unit.model), BENCH],
    )
