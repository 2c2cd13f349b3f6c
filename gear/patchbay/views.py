from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe

from gear.asked import in_pages
from gear.equipment.cautions import PATCHING
from gear.patchbay.actions import ChangedMeanwhile, normals_seen, save_row, set_normals
from gear.patchbay.forms import (
    BayForm,
    NormalForm,
    RowForm,
    mult_notices,
    normal_facts,
    row_facts,
)
from gear.patchbay.grid import grid_of, next_row
from gear.patchbay.models import Bay, PatchPoint
from gear.patchbay.tables import BayTable


@require_safe
def bay_list(request: HttpRequest) -> HttpResponse:
    table = BayTable(Bay.objects.for_list())
    in_pages(request, table)
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
    with transaction.atomic():
        if bay.pk:
            Bay.objects.select_for_update().get(pk=bay.pk)
        form = BayForm(request.POST or None, instance=bay)
        if form.is_valid():
            messages.success(request, f"{form.save()} is saved.")
            return redirect(bay)
    return TemplateResponse(request, "gear/patchbay/bay_form.html", {"form": form, "bay": bay})


def row_edit(request: HttpRequest, pk: int, row: str) -> HttpResponse:
    """A row as text; where somebody else saved it meanwhile, theirs stands beside what was typed."""
    bay = get_object_or_404(Bay, pk=pk)
    points = list(bay.points.filter(row=row).with_links())
    facts = row_facts(points, row)
    form = RowForm(request.POST or None, bay=bay, row=row, initial=facts)
    context = {"form": form, "bay": bay, "row": row}
    try:
        if form.is_valid() and _row_is_saved(form):
            messages.success(request, f"Row {row} of {bay} is saved.")
            for notice in mult_notices(list(bay.points.all())):
                messages.warning(request, notice)
            return redirect(bay)
    except ChangedMeanwhile:
        _see_anew(form, facts["seen"])
        saved = RowForm(bay=bay, row=row, initial=facts)
        change = PatchPoint.history.filter(bay=bay, row=row).select_related("history_user").first()
        context |= {"saved": saved, "change": change}
    status = 409 if "saved" in context else 200
    return TemplateResponse(request, "gear/patchbay/row_form.html", context, status=status)


def _row_is_saved(form: RowForm) -> bool:
    try:
        save_row(
            form.bay,
            row=form.row,
            points=form.patch_points,
            tie_lines=form.tie_lines,
            seen=form.cleaned_data["seen"],
        )
    except ValidationError as refused:
        form.add_error("points", refused)
        return False
    return True


def _see_anew(form, seen: str) -> None:
    """Saving once more then goes over what the editor has been shown."""
    form.data = form.data.copy()
    form.data["seen"] = seen


def normals(request: HttpRequest, pk: int) -> HttpResponse:
    bay = get_object_or_404(Bay, pk=pk)
    points = list(bay.points.with_links())
    facts = normal_facts(points) | {"seen": normals_seen(bay)}
    form = NormalForm(request.POST or None, bay=bay, initial=facts)
    changed = False
    try:
        if form.is_valid() and _normals_are_set(request, form):
            return redirect("patchbay:normals", bay.pk)
    except ChangedMeanwhile:
        _see_anew(form, facts["seen"])
        changed = True
        form.add_error(
            None,
            "Somebody else set normals of this bay while you were looking at it, so nothing was "
            "changed. They stand below as they are now; what you typed is still here: save again "
            "to set yours.",
        )
    linked = [point for point in points if hasattr(point, "normal_to")]
    context = {"form": form, "bay": bay, "linked": linked}
    status = 409 if changed else 200
    return TemplateResponse(request, "gear/patchbay/normals.html", context, status=status)


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
