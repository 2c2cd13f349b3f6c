"""The one form page of facts about one thing: to put it on record, or to change it."""

from typing import NamedTuple

from django.contrib import messages
from django.db import transaction
from django.db.models import Model
from django.forms import ModelForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse

from gear.editing.versions import (
    EditedMeanwhile,
    both_versions,
    newest_change,
    save_unless_changed,
)

Crumbs = list[tuple[str, str]]


class Meanwhile(NamedTuple):
    """What was saved while a form was open: an entry of the thing's history, and where the form
    differs from it (label, saved, typed)."""

    entry: Model
    differences: list[tuple[str, str, str]]

    @classmethod
    def of(cls, current: Model, differences: list[tuple[str, str, str]]) -> "Meanwhile":
        return cls(current.history.first(), differences)


def create_page(
    request: HttpRequest,
    form: ModelForm,
    *,
    title: str,
    crumbs: Crumbs,
    then: Model | None = None,
    **more,
) -> HttpResponse:
    """Save the new thing and show it, or `then`; or show the form with what is wrong.

    `crumbs` are the pages above, name and address; Cancel goes to the last of them. `more` is for
    `form_page`.
    """
    if form.is_bound and form.is_valid():
        with transaction.atomic():
            made = form.save()
        messages.success(request, f"{made} is on record.")
        return redirect(then or made)
    return form_page(request, form, title=title, crumbs=crumbs, **more)


def edit_page(
    request: HttpRequest,
    form: ModelForm,
    *,
    crumbs: Crumbs,
    title: str = "",
    then: str = "",
    **more,
) -> HttpResponse:
    """Save the change and go back; where somebody else saved meanwhile, show both versions.

    `title` and `then`, what is said once it is saved, where the usual words would not read well;
    `more` is for `form_page`.
    """
    title, back = title or f"Edit {form.instance}", crumbs[-1][1]
    seen = request.POST.get("seen") or newest_change(form.instance)
    if not form.is_bound:  # read once more, so that what is shown is no older than what was seen
        form.instance.refresh_from_db()
        form = type(form)(instance=form.instance)
    meanwhile = None
    if form.is_bound and form.is_valid():
        try:
            saved = save_unless_changed(form, seen=seen)
        except EditedMeanwhile as edited:
            meanwhile = Meanwhile.of(edited.current, both_versions(form, edited.current))
            seen = str(meanwhile.entry.pk)
        else:
            messages.success(request, then or f"{saved} is saved.")
            return redirect(back)
    return form_page(
        request,
        form,
        title=title,
        crumbs=crumbs,
        seen=seen,
        meanwhile=meanwhile,
        **more,
    )


def form_page(
    request: HttpRequest,
    form,
    *,
    title: str,
    crumbs: Crumbs,
    seen: str = "",
    meanwhile: Meanwhile | None = None,
    template: str = "components/form_page.html",
    **more,
) -> HttpResponse:
    """The page itself; above a form that came second stands what was saved `meanwhile`. A slice's
    own `template` extends the usual one and is given what `more` says."""
    context = more | {
        "form": form,
        "title": title,
        "crumbs": [*crumbs, (title, "")],
        "back": crumbs[-1][1],
        "seen": seen,
        "meanwhile": meanwhile,
    }
    status = 409 if meanwhile else 200
    return TemplateResponse(request, template, context, status=status)
