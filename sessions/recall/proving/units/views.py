from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse

from gear.editing.form_pages import Crumbs, trail
from gear.equipment.models import Unit
from gear.list_pages import list_page
from sessions.recall.proving import actions
from sessions.recall.proving.models import Measurement
from sessions.recall.proving.units.cautions import unit_cautions, why_not_measured
from sessions.recall.proving.units.forms import PairForm, UnitForm
from sessions.recall.proving.units.pairs import Pair
from sessions.recall.proving.units.tables import YearsTable
from sessions.recall.proving.units.years import latest_of, years_of
from sessions.rooms.models import HouseRules


def years(request: HttpRequest, pk: int) -> HttpResponse:
    """What was measured of a unit by itself, over the years."""
    unit = _unit(pk)
    measured = Measurement.objects.filter(unit=unit).visible_to(request.user).with_names()
    found = years_of(measured, _tolerance_db())
    context = {
        "unit": unit,
        "latest": latest_of(found),
        "may_measure": not why_not_measured(unit),
        "may_pair": _comparable(request, unit).exists(),
        "crumbs": _crumbs(unit, "Sound"),
    }
    return list_page(
        request, YearsTable(found), "sessions/recall/proving/units/years.html", context
    )


def measure(request: HttpRequest, pk: int) -> HttpResponse:
    """How a test file is fed into a unit, and the cautions before there is one."""
    unit = _unit(pk)
    last = Measurement.objects.filter(unit=unit).order_by("-pk").first()
    form = UnitForm(
        request.POST or None,
        unit=unit,
        last=last,
        cables=Measurement.objects.standing()
        .filter(is_cable=True)
        .select_related("measured_by")[:50],
        cautions=unit_cautions(unit),
    )
    why_not = why_not_measured(unit)
    if form.is_bound and not why_not and form.is_valid():
        return redirect(actions.begin_unit(unit, by=request.user, **form.facts()))
    context = {
        "unit": unit,
        "form": form,
        "why_not": why_not,
        "cable_page": reverse("proving:cables"),
        "crumbs": _crumbs(unit, "Measure its sound"),
    }
    status = 422 if form.is_bound else 200
    template = "sessions/recall/proving/units/measure.html"
    return TemplateResponse(request, template, context, status=status)


def pair(request: HttpRequest, pk: int) -> HttpResponse:
    """Two measurements held against each other: `?first=` of this unit, `?second=` of any of its model."""
    unit = _unit(pk)
    form = PairForm(
        request.GET if request.GET else None, unit=unit, measured=_comparable(request, unit)
    )
    found = None
    if form.is_bound and form.is_valid():
        found = Pair(form.cleaned_data["first"], form.cleaned_data["second"], _tolerance_db())
    context = {
        "unit": unit,
        "form": form,
        "pair": found,
        "crumbs": _crumbs(unit, "Compared"),
    }
    status = 422 if form.is_bound and not found else 200
    template = "sessions/recall/proving/units/pair.html"
    return TemplateResponse(request, template, context, status=status)


def _unit(pk: int) -> Unit:
    return get_object_or_404(Unit.objects.select_related("model"), pk=pk)


def _comparable(request: HttpRequest, unit: Unit):
    measured = Measurement.objects.standing().filter(unit__model=unit.model_id)
    return measured.visible_to(request.user).select_related("unit__model").order_by("-measured_at")


def _tolerance_db() -> float:
    return float(HouseRules.current().sound_tolerance_db)


def _crumbs(unit: Unit, here: str) -> Crumbs:
    sound = [("Sound", reverse("proving:unit", args=[unit.pk]))] if here != "Sound" else []
    return [*trail(("Units", "equipment:list"), unit), *sound, (here, "")]
