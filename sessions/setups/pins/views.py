from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST
from django_htmx.http import HttpResponseClientRefresh

from gear.asked import way_back
from sessions.setups.chains.asking import why_ask
from sessions.setups.chains.forms import CONTROL
from sessions.setups.chains.versions import last_edit
from sessions.setups.chains.views.messages import message_saved
from sessions.setups.editor.actions import FieldEditedMeanwhile, StageTakenOut, set_field
from sessions.setups.editor.forms import OneFieldForm
from sessions.setups.models import Chain, Revision
from sessions.setups.pins.actions import pin_control
from sessions.setups.pins.pinned import Pinned, pinned_at

GONE = (
    "That control is no longer in the chain, so nothing was saved: another unit stands there now."
)


@require_POST
def pin(request: HttpRequest, pk: int) -> HttpResponse:
    """Pin a control of the chain to the tracking page, or unpin it: named as `stage.control`."""
    chain = get_object_or_404(Chain.objects.visible_to(request.user), pk=pk)
    pinned = "pin" in request.POST
    stage, _, control = request.POST.get("pin", request.POST.get("unpin", "")).partition(".")
    found = pinned_at(chain.newest_revision(), stage, control)
    if found is None:
        return _gone(request, chain)
    pin_control(chain, stage=stage, control=control, pinned=pinned, by=request.user)
    if not request.htmx:
        return redirect(way_back(request, reverse("editor:chain", args=[pk])))
    keys = {control} if pinned else set()
    context = {"chain": chain, "key": stage, "control": found.control, "pinned": keys}
    return TemplateResponse(request, "sessions/setups/pins/_pin.html", context)


@require_POST
def set_value(request: HttpRequest, pk: int) -> HttpResponse:
    """Set a control from the tracking page, and answer with it as it stands then."""
    chain = get_object_or_404(Chain.objects.visible_to(request.user), pk=pk)
    sent = OneFieldForm(request.POST)
    before = chain.newest_revision()
    typed = sent.cleaned_data if sent.is_valid() else {}
    asked = typed and pinned_at(before, typed["stage"], typed["name"].removeprefix(CONTROL))
    if not asked:
        return _gone(request, chain)
    try:
        value = asked.field.clean(typed["value"])
    except ValidationError as problem:
        return _answer(request, asked, problem=" ".join(problem.messages), typed=typed["value"])
    problem = why_ask(asked.stage, asked.control, value)
    if problem and not typed["is_sure"]:
        return _answer(request, asked, problem=problem, typed=typed["value"], asks=True)
    try:
        after = set_field(
            chain,
            key=asked.key,
            name=asked.name,
            was=_seen(asked, typed["was"]),
            value=value,
            by=request.user,
        )
    except StageTakenOut:
        return _gone(request, chain)
    except FieldEditedMeanwhile as edited:
        now = pinned_at(edited.stage.revision, asked.key, asked.control.key)
        who = last_edit(edited.stage.revision)
        who = str((who and who.history_user) or "Somebody else")
        return _answer(request, now, theirs=who, typed=typed["value"])
    if not request.htmx:
        message_saved(request, f"{asked.control} saved.", before=before, after=after)
        return redirect(_tracking(request, chain))
    after = Revision.objects.with_stages().get(pk=after.pk)
    return _answer(request, pinned_at(after, asked.key, asked.control.key))


def _seen(asked: Pinned, text: str):
    try:
        return asked.field.clean(text)
    except ValidationError:
        return text  # which stood nowhere


def _gone(request, chain: Chain) -> HttpResponse:
    messages.warning(request, GONE)
    return HttpResponseClientRefresh() if request.htmx else redirect(_tracking(request, chain))


def _tracking(request, chain: Chain) -> str:
    return way_back(request, chain.get_absolute_url())


def _answer(request, pinned: Pinned, *, problem="", theirs="", typed="", asks=False):
    """The control in place of the one on the page, or, without scripts, on a page of its own.

    htmx takes answers of 200 and 422 into the page, so a conflict is told as 422 there.
    """
    context = {
        "each": pinned,
        "answered": True,
        "problem": problem,
        "theirs": theirs,
        "typed": typed,
        "asks": asks,
        "back": _tracking(request, pinned.chain),
    }
    part, page = "sessions/setups/pins/_control.html", "sessions/setups/pins/control.html"
    conflict = 422 if request.htmx else 409
    status = conflict if theirs else 422 if problem else 200
    return TemplateResponse(request, part if request.htmx else page, context, status=status)
