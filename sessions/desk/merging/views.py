"""Clients and people that are here twice: found, compared and merged."""

from dataclasses import dataclass

from django.contrib import messages
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from gear.editing.form_pages import form_page, trail
from gear.editing.versions import EditedMeanwhile
from gear.list_pages import list_page
from sessions.clients.models import Client, Person
from sessions.desk.merging.actions import MergeRefused, merge
from sessions.desk.merging.duplicates import pairs_of
from sessions.desk.merging.forms import MergeForm, OtherForm
from sessions.desk.merging.pointing import reasons_against, what_goes, what_moves
from sessions.desk.merging.tables import PairTable

EDITED = "One of the two was edited meanwhile. Compare them once more."


@dataclass(frozen=True)
class Kind:
    """Clients or people: their list by its word and URL name, and the address that merges one."""

    model: type[Model]
    list: tuple[str, str]
    merge: str


CLIENTS = Kind(Client, ("Clients", "clients:list"), "duplicates:client")
PEOPLE = Kind(Person, ("People", "clients:people"), "duplicates:person")


def clients(request: HttpRequest) -> HttpResponse:
    return _pairs_page(request, CLIENTS)


def people(request: HttpRequest) -> HttpResponse:
    return _pairs_page(request, PEOPLE)


def client(request: HttpRequest, pk: int) -> HttpResponse:
    return _merge_page(request, CLIENTS, pk)


def person(request: HttpRequest, pk: int) -> HttpResponse:
    return _merge_page(request, PEOPLE, pk)


def _pairs_page(request: HttpRequest, kind: Kind) -> HttpResponse:
    things = kind.model.objects.order_by("retired", "pk")
    table = PairTable(pairs_of(things))
    table.caption, table.merge_page = f"Duplicate {kind.list[0].lower()}", kind.merge
    context = {"title": table.caption, "crumbs": [*trail(kind.list), ("Duplicates", "")]}
    return list_page(request, table, "sessions/desk/merging/pairs.html", context)


def _merge_page(request: HttpRequest, kind: Kind, pk: int) -> HttpResponse:
    """Choose the other (`?with=`), compare the two, and merge."""
    kept = get_object_or_404(kind.model, pk=pk)
    page = {"title": f"Merge {kept}", "crumbs": trail(kind.list, kept)}
    other_form = OtherForm(
        {"with": request.GET.get("with")} if "with" in request.GET else None, thing=kept
    )
    if not other_form.is_valid():
        template = "sessions/desk/merging/choose.html"
        return form_page(request, other_form, template=template, **page)
    other = other_form.cleaned_data["with"]
    form = MergeForm(request.POST or None, kept=kept, other=other)
    if form.is_valid():
        seen = {name: form.cleaned_data[name] for name in ("seen", "other_seen")}
        try:
            merge(kept, other, facts=form.facts(), **seen, by=request.user)
        except EditedMeanwhile:
            messages.warning(request, EDITED)
            return redirect(request.get_full_path())
        except MergeRefused:
            pass  # the page says why
        else:
            messages.success(request, f"{kept} and {other} are one now.")
            return redirect(kept)
    return form_page(
        request,
        form,
        template="sessions/desk/merging/merge.html",
        action="Merge",
        kept=kept,
        other=other,
        reasons=reasons_against(kept, other),
        moves=what_moves(other, kept),
        goes=what_goes(other, kept),
        **page,
    )
