"""The one form page of facts about one thing: to create it, or to change it."""

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Model
from django.forms import BaseForm, ModelForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.urls import reverse

from gear.editing.versions import (
    EditedMeanwhile,
    Versioned,
    claim_version,
    differences,
    version_in,
)

Crumbs = list[tuple[str, str]]
Differences = list[tuple[str, str, str]]  # label, saved, typed


def trail(*pages: tuple[str, str] | Model) -> Crumbs:
    """Name and address of each page above: a list is given by its word and URL name."""
    return [
        (page[0], reverse(page[1]))
        if isinstance(page, tuple)
        else (str(page), page.get_absolute_url())
        for page in pages
    ]


class Meanwhile(NamedTuple):
    """What was saved while a form was open: an entry of the thing's history, and where the form
    differs from it."""

    entry: Model
    differences: Differences


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
        messages.success(request, f"{made} saved.")
        return redirect(then or made)
    return form_page(request, form, title=title, crumbs=crumbs, **more)


def edit_page(
    request: HttpRequest,
    form: BaseForm,
    *,
    crumbs: Crumbs,
    thing: Versioned | None = None,
    save: Callable[[int], Versioned | None] | None = None,
    compare: Callable[[Versioned], Differences] | None = None,
    title: str = "",
    then: str = "",
    to: str = "",
    **more,
) -> HttpResponse:
    """Save the change and go back, or `to` elsewhere; where somebody else saved meanwhile, show both versions.

    Of a ModelForm nothing more need be said. Any other names the `thing`; what saves it, given the
    version that its editor saw, and raises EditedMeanwhile, or ValidationError for what is refused
    (which the form may `refuse` beside its fields); and what compares the form with what is saved.
    `title` and `then`, what is said once it is saved, where the usual words would not read well;
    `more` is for `form_page`.
    """
    thing = thing or form.instance
    more |= {"title": title or f"Edit {thing}", "crumbs": crumbs}
    seen = version_in(request.POST.get("seen", "")) if form.is_bound else thing.version
    if form.is_bound and form.is_valid():
        try:
            saved = (save or partial(_save, form))(seen)
        except EditedMeanwhile as edited:
            return meanwhile_page(request, form, edited.current, compare=compare, **more)
        except ValidationError as refusal:
            form.refuse(refusal) if hasattr(form, "refuse") else form.add_error(None, refusal)
        else:
            messages.success(request, then or f"{saved} saved.")
            return redirect(to or crumbs[-1][1])
    return form_page(request, form, seen=seen, **more)


@transaction.atomic
def _save(form: ModelForm, version: int) -> Versioned:
    claim_version(form.instance, version)
    return form.save()


def meanwhile_page(
    request: HttpRequest,
    form: BaseForm,
    current: Versioned,
    *,
    compare: Callable[[Versioned], Differences] | None = None,
    **more,
) -> HttpResponse:
    """409: the form once more, with what somebody else saved beside what was typed."""
    compare = compare or (lambda saved: differences(form, type(form)(instance=saved)))
    meanwhile = Meanwhile(current.history.first(), compare(current))
    return form_page(request, form, seen=current.version, meanwhile=meanwhile, **more)


def form_page(
    request: HttpRequest,
    form: BaseForm,
    *,
    title: str,
    crumbs: Crumbs,
    seen: int = 0,
    meanwhile: Meanwhile | None = None,
    template: str = "components/form_page.html",
    **more,
) -> HttpResponse:
    """The page itself; above a form that came second stands what was saved `meanwhile`. A slice's
    own `template` extends the usual one and is given what `more` says."""
    context = (
        {"back": crumbs[-1][1]}
        | more
        | {
            "form": form,
            "title": title,
            "crumbs": [*crumbs, (title, "")],
            "seen": seen,
            "meanwhile": meanwhile,
        }
    )
    status = 409 if meanwhile else 200
    return TemplateResponse(request, template, context, status=status)


def confirm_page(
    request: HttpRequest,
    *,
    question: str,
    text: str,
    action: str,
    title: str,
    crumbs: Crumbs,
    danger: bool = True,
) -> HttpResponse:
    """Ask before something is done that cannot be undone: its button posts to the same address."""
    context = {
        "question": question,
        "text": text,
        "action": action,
        "title": title,
        "crumbs": [*crumbs, (title, "")],
        "back": crumbs[-1][1],
        "danger": danger,
    }
    return TemplateResponse(request, "components/confirm_page.html", context)
