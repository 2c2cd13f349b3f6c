from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.text import slugify

from sessions.papers.stored.kinds import PaperKind
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import MEDIA_TYPE, recall_json


def page(request: HttpRequest, pk: int, kind: PaperKind) -> HttpResponse:
    """What was chosen for a song or a part of it, and every chain behind that."""
    subject = get_object_or_404(kind.subjects.visible_to(request.user), pk=pk)
    context = {
        "sheet": recall_sheet(subject),
        "pdf": reverse(f"{kind.page}_pdf", args=[pk]),
        "json": reverse(f"{kind.page}_json", args=[pk]),
    }
    return TemplateResponse(request, "sessions/recall/sheet/song.html", context)


def data(request: HttpRequest, pk: int, kind: PaperKind) -> HttpResponse:
    """The same as data, by the schema in `recall.schema.json`."""
    subject = get_object_or_404(kind.subjects.visible_to(request.user), pk=pk)
    sheet = recall_sheet(subject)
    address = request.build_absolute_uri(kind.address(subject))
    named = " ".join(["recall", sheet.song.title, *([sheet.part.name] if sheet.part else [])])
    return HttpResponse(
        recall_json(sheet, studio=sheet.contact.studio, address=address),
        content_type=MEDIA_TYPE,
        headers={"Content-Disposition": f'attachment; filename="{slugify(named)}.json"'},
    )
