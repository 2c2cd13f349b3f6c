from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe

from gear.editing.form_pages import create_page, edit_page, trail
from gear.editing.versions import differences
from gear.equipment.cautions import PATCHING
from gear.list_pages import csv_asked, list_page
from gear.patchbay.actions import save_row, set_normals
from gear.patchbay.forms import (
    BayForm,
    NormalForm,
    RowForm,
    mult_notices,
    normal_facts,
    row_facts,
)
from gear.patchbay.grid import grid_of, next_row
from gear.patchbay.models import Bay
from gear.patchbay.tables import POINT_COLUMNS, BayTable
from gear.tables import Listing

BAYS = ("Patch bays", "patchbay:list")


@require_safe
def bay_list(request: HttpRequest) -> HttpResponse:
    table = BayTable(Bay.objects.for_list())
    return list_page(request, table, "gear/patchbay/bay_list.html")


@require_safe
def bay_detail(request: HttpRequest, pk: int) -> HttpResponse:
    bay = get_object_or_404(Bay, pk=pk)
    points = Listing(f"Points of {bay}", POINT_COLUMNS, bay.points.with_links())
    if file := csv_asked(request, points):
        return file
    grid = grid_of(points.rows)
    context = {"bay": bay, "grid": grid, "points": points, "next_row": next_row(grid.rows)}
    context["cautions"] = [PATCHING]
    return TemplateResponse(request, "gear/patchbay/bay_detail.html", context)


def bay_create(request: HttpRequest) -> HttpResponse:
    form = BayForm(request.POST or None)
    return create_page(request, form, title="Add a patch bay", crumbs=trail(BAYS))


def bay_edit(request: HttpRequest, pk: int) -> HttpResponse:
    bay = get_object_or_404(Bay, pk=pk)
    return edit_page(request, BayForm(request.POST or None, instance=bay), crumbs=trail(BAYS, bay))


def row_edit(request: HttpRequest, pk: int, row: str) -> HttpResponse:
    """A row as text."""
    bay = get_object_or_404(Bay, pk=pk)
    facts = row_facts(list(bay.points.filter(row=row).with_links()), row)
    form = RowForm(request.POST or None, bay=bay, row=row, initial=facts)

    def save(version: int) -> None:
        points, tie_lines = form.patch_points, form.tie_lines
        save_row(bay, version=version, row=row, points=points, tie_lines=tie_lines)
        for notice in mult_notices(list(bay.points.all())):
            messages.warning(request, notice)

    return edit_page(
        request,
        form,
        thing=bay,
        save=save,
        compare=lambda bay: differences(form, RowForm(bay=bay, row=row, initial=facts)),
        title=f"Row {row} of {bay}",
        then=f"Row {row} of {bay} saved.",
        crumbs=trail(BAYS, bay),
        template="gear/patchbay/row_form.html",
    )


def normals(request: HttpRequest, pk: int) -> HttpResponse:
    """Set a run of normals, and then the next: how they are stands below."""
    bay = get_object_or_404(Bay, pk=pk)
    points = list(bay.points.with_links())
    form = NormalForm(request.POST or None, bay=bay, initial=normal_facts(points))

    def save(version: int) -> None:
        for normal in set_normals(version=version, **form.cleaned_data):
            if notice := normal.notice():
                messages.warning(request, notice)

    return edit_page(
        request,
        form,
        thing=bay,
        save=save,
        compare=form.differences,
        title=f"Normals of {bay}",
        then="Normals saved.",
        to=request.path,
        crumbs=trail(BAYS, bay),
        template="gear/patchbay/normals.html",
        linked=[point for point in points if hasattr(point, "normal_to")],
    )
