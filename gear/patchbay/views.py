from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe
from django_tables2 import RequestConfig

from gear.equipment.cautions import PATCHING
from gear.patchbay.actions import save_row, set_normals
from gear.patchbay.forms import BayForm, NormalForm, RowForm, normal_facts, row_facts
from gear.patchbay.grid import grid_of, next_row
from gear.patchbay.models import Bay
from gear.patchbay.tables import BayTable


@require_safe
def bay_list(request: HttpRequest) -> HttpResponse:
    table = BayTable(Bay.objects.for_list())
    RequestConfig(request).configure(table)
    return TemplateResponse(request, "gear/patchbay/bay_list.html", {"table": table})


@require_safe
def bay_detail(request: HttpRequest, pk: int) -> HttpResponse:
    bay = get_object_or_404(Bay, pk=pk)
    grid = grid_of(bay.points.with_links())
    return TemplateResponse(
        request,
        "gear/patchbay/bay_detail.html",
        {"bay": bay, "grid": grid, "next_row": next_row(grid.rows), "cautions": [PATCHING]},
    )


def bay_create(request: HttpRequest) -> HttpResponse:
    return _edit_bay(request, Bay())


def bay_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return _edit_bay(request, get_object_or_404(Bay, pk=pk))


def _edit_bay(request, bay) -> HttpResponse:
    form = BayForm(request.POST or None, instance=bay)
    if form.is_valid():
        messages.success(request, f"{form.save()} is saved.")
        return redirect(bay)
    return TemplateResponse(request, "gear/patchbay/bay_form.html", {"form": form, "bay": bay})


def row_edit(request: HttpRequest, pk: int, row: str) -> HttpResponse:
    bay = get_object_or_404(Bay, pk=pk)
    points = list(bay.points.filter(row=row).with_links())
    form = RowForm(request.POST or None, bay=bay, row=row, initial=row_facts(points, row))
    if form.is_valid() and _row_is_saved(form):
        messages.success(request, f"Row {row} of {bay} is saved.")
        return redirect(bay)
    context = {"form": form, "bay": bay, "row": row}
    return TemplateResponse(request, "gear/patchbay/row_form.html", context)


def _row_is_saved(form: RowForm) -> bool:
    try:
        save_row(form.bay, row=form.row, points=form.patch_points, tie_lines=form.tie_lines)
    except ValidationError as refused:
        form.add_error("points", refused)
        return False
    return True


def normals(request: HttpRequest, pk: int) -> HttpResponse:
    bay = get_object_or_404(Bay, pk=pk)
    points = list(bay.points.with_links())
    form = NormalForm(request.POST or None, bay=bay, initial=normal_facts(points))
    if form.is_valid() and _normals_are_set(request, form):
        return redirect("patchbay:normals", bay.pk)
    linked = [point for point in points if hasattr(point, "normal_to")]
    return TemplateResponse(
        request, "gear/patchbay/normals.html", {"form": form, "bay": bay, "linked": linked}
    )


def _normals_are_set(request, form: NormalForm) -> bool:
    try:
        made = set_normals(**form.cleaned_data)
    except ValidationError as refused:
        form.add_error("pairs", refused)
        return False
    messages.success(request, "The normals are saved." if made else "The points are open now.")
    for normal in made:
        if notice := normal.notice():
            messages.warning(request, notice)
    return True
