"""The page that a list comes in by: first what it would do, then that."""

from collections.abc import Callable
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse

from gear.lists.actions import NotAsShown, import_list
from gear.lists.forms import ListForm
from gear.lists.plan import Plan


@dataclass(frozen=True)
class Listed:
    """What a list is of, one and many of them; its columns, and how it is read; the page that shows
    them all, by its word and URL name; and what to know about the cells, in sentences."""

    thing: str
    things: str
    head: list[str]
    plan_of: Callable[..., Plan]
    word: str
    page: str
    about: tuple[str, ...]


def import_page(request: HttpRequest, listed: Listed) -> HttpResponse:
    form = ListForm(request.POST or None, request.FILES or None)
    if not form.is_valid():
        return _page(request, listed, form)
    text, shown = form.cleaned_data["text"], form.cleaned_data["shown"]
    if "import" not in request.POST or form.cleaned_data["file"]:
        return _planned(request, listed, text)
    try:
        plan = import_list(listed.plan_of, text, shown=shown, by=request.user)
    except NotAsShown as refusal:
        messages.warning(request, str(refusal))
        return _planned(request, listed, text, status=409)
    made, changed = len(plan.to_make), len(plan.to_change)
    messages.success(request, f"{made} {listed.things} added, {changed} changed.")
    return redirect(listed.page)


def _planned(request, listed: Listed, text: str, status: int = 200) -> HttpResponse:
    plan = listed.plan_of(text)
    form = ListForm(initial={"text": text, "shown": plan.fingerprint()})
    return _page(request, listed, form, plan=plan, status=status)


def _page(request, listed: Listed, form, *, plan: Plan | None = None, status=200) -> HttpResponse:
    context = {"listed": listed, "form": form, "plan": plan}
    return TemplateResponse(request, "gear/lists/import.html", context, status=status)
