from collections.abc import Iterator
from datetime import timedelta

from django.core.exceptions import PermissionDenied
from django.db.models import Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe

from gear.list_pages import csv_asked
from gear.tables import Listing
from sessions.periods import midnight
from studio.access import may_open
from studio.changes.entries import Noted, Place, noted_in, noted_of, recorded
from studio.changes.forms import CLOCK, ChangesForm
from studio.changes.kinds import KINDS
from studio.changes.reading import Change, changes

OF_ONE_THING, OF_ALL, AT_ONCE = 20, 40, 500


@require_safe
def of_thing(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """All changes of one thing and its parts: a page, or what its own page unfolds."""
    if kind not in KINDS:
        raise Http404
    known = KINDS[kind]
    if not may_open(request.user, known.page):
        raise PermissionDenied
    thing = get_object_or_404(known.visible_to(request.user), pk=pk)
    told, older = changes(
        [*noted_in(known, thing, request.user, may_open)],
        request.user,
        limit=OF_ONE_THING,
        behind=_behind(request),
        about=thing,
    )
    context = {"thing": thing, "changes": told, "older": older, "page": known.address(thing.pk)}
    template = "_list.html" if request.htmx else "of_thing.html"
    return TemplateResponse(request, f"studio/changes/{template}", context)


@require_safe
def of_all(request: HttpRequest) -> HttpResponse:
    """Who changed what in the whole house, day by day."""
    form = ChangesForm(request.GET)
    noted = _noted(form) if form.is_valid() else []
    table = Listing("Changes", COLUMNS, _all(noted, request.user))
    if file := csv_asked(request, table):
        return file
    told, older = changes(noted, request.user, limit=OF_ALL, behind=_behind(request))
    context = {"form": form, "changes": told, "older": older, "table": table}
    return TemplateResponse(request, "studio/changes/of_all.html", context)


def _behind(request: HttpRequest) -> Place | None:
    return Place.read(request.GET.get("before", ""))


def _noted(form: ChangesForm) -> list[Noted]:
    """In those days, by whom and of what is asked for."""
    data = form.cleaned_data
    since, until = midnight(data["since"]), midnight(data["until"] + timedelta(days=1))
    found = []
    for model in recorded():
        each = noted_of(model)
        if data["of"] not in ("", model._meta.label_lower):
            continue
        days = Q(**{f"{each.at}__gte": since, f"{each.at}__lt": until})
        if data["by"] and not each.by:
            continue
        by = Q(**{each.by: None if data["by"] == CLOCK else data["by"]}) if data["by"] else Q()
        found.append(each.only(days, by))
    return found


def _all(noted: list[Noted], user) -> Iterator[Change]:
    """So many at a time, since the days that are asked for may be years."""
    behind = None
    while True:
        told, behind = changes(noted, user, limit=AT_ONCE, behind=behind)
        yield from told
        if behind is None:
            return


COLUMNS = {
    "When": lambda change: change.when,
    "Who": lambda change: change.who,
    "What": lambda change: change.thing,
    "Of": lambda change: change.of,
    "Change": lambda change: change.in_words,
}
