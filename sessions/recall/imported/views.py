from pathlib import Path

from csp.decorators import csp_update
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from sessions.recall.imported.actions import ImportRefused, assign_song, discard_sheet, import_sheet
from sessions.recall.imported.format import limits, objects_of_format
from sessions.recall.imported.forms import FileForm, SongChoiceForm
from sessions.recall.imported.shown.sheet import facts_told, sheet_told
from sessions.recall.models import ImportedSheet
from sessions.recall.sheet.data import MEDIA_TYPE
from sessions.recall.sheet.schema import ENCLOSED_AS, VERSION


def sheet_list(request: HttpRequest) -> HttpResponse:
    """Sheets from other studios, and the form to import one."""
    form = FileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        name = form.cleaned_data["file"].name
        imported = import_sheet(form.recall, file_name=name, by=request.user)
        return redirect(imported)
    context = {
        "form": form,
        "sheets": ImportedSheet.objects.visible_to(request.user).for_list(),
    }
    status = 422 if form.is_bound else 200
    return TemplateResponse(request, "sessions/recall/imported/list.html", context, status=status)


def _sheet_of(request, pk: int) -> ImportedSheet:
    sheets = ImportedSheet.objects.visible_to(request.user).for_list()
    return get_object_or_404(sheets, pk=pk)


@csp_update({"img-src": ["data:"]})  # small pictures that came with the file
def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """What came, with every panel drawn from its own marks; to keep for a song, while it is a preview."""
    imported = _sheet_of(request, pk)
    form = None
    if imported.song is None:
        form = SongChoiceForm(request.POST or None, imported=imported, user=request.user)
        if form.is_bound and form.is_valid():
            try:
                kept = assign_song(imported, song=form.cleaned_data["song"])
            except ImportRefused as refusal:
                messages.info(request, str(refusal))
            else:
                messages.success(request, f"Imported for {kept.song}.")
            return redirect(imported)
    sheet = sheet_told(imported)
    context = {
        "imported": imported,
        "sheet": sheet,
        "facts": [*facts_told(imported), *sheet.facts],
        "form": form,
        "rebuilds": imported.rebuilds.all(),
        "crumbs": [
            ("Imported sheets", reverse("imported:list")),
            (str(imported), ""),
        ],
    }
    status = 422 if form is not None and form.is_bound else 200
    return TemplateResponse(request, "sessions/recall/imported/detail.html", context, status=status)


@require_POST
def discard(request: HttpRequest, pk: int) -> HttpResponse:
    """Delete a preview."""
    imported = _sheet_of(request, pk)
    try:
        discard_sheet(imported)
    except ImportRefused as refusal:
        messages.warning(request, str(refusal))
        return redirect(imported)
    messages.success(request, f"{imported} discarded.")
    return redirect("imported:list")


def format_page(request: HttpRequest) -> HttpResponse:
    """How another program writes a recall sheet."""
    whole, *objects = objects_of_format()
    context = {
        "version": VERSION,
        "enclosed_as": ENCLOSED_AS,
        "whole": whole,
        "objects": objects,
        "limits": list(limits()),
        "crumbs": [("Imported sheets", reverse("imported:list")), ("How to write one", "")],
    }
    return TemplateResponse(request, "sessions/recall/imported/format.html", context)


def format_file(request: HttpRequest, file: Path) -> HttpResponse:
    """The schema, or an example, to be kept."""
    named = {"Content-Disposition": f'attachment; filename="{file.name}"'}
    return HttpResponse(file.read_bytes(), content_type=MEDIA_TYPE, headers=named)
