from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_POST
from django_htmx.http import HttpResponseClientRefresh

from gear.editing.versions import EditedMeanwhile
from sessions.recall.models import RebuildStep, Tick
from sessions.recall.rebuilds.actions import (
    Harmful,
    RebuildRefused,
    set_in_place,
    tick_control,
)
from sessions.recall.rebuilds.changes import stamp_of
from sessions.recall.rebuilds.checklist import checklist_of, stage_line
from sessions.recall.rebuilds.forms import BUTTONS, TickForm
from sessions.recall.rebuilds.lines import ControlLine, StageLine
from sessions.recall.rebuilds.views.common import (
    checklist_context,
    crumbs_of,
    rebuild_of,
    step_of,
)


def checklist(request: HttpRequest, pk: int) -> HttpResponse:
    """What to patch and what to set, in the order in which it is done."""
    rebuild = rebuild_of(request, pk)
    stamp = stamp_of(rebuild)
    context = checklist_context(checklist_of(rebuild), stamp) | {"crumbs": crumbs_of(rebuild)}
    return TemplateResponse(request, "sessions/recall/rebuilds/checklist.html", context)


@require_POST
def tick(request: HttpRequest, pk: int) -> HttpResponse:
    """Save one control as it was set; answers with that control as it stands then."""
    step = step_of(request, pk)
    line = stage_line(step)
    control = _control_of(line, request.POST.get("key", ""))
    if control is None:
        return _gone(request, step)
    form = TickForm(request.POST, line=control)
    theirs = refusal = None
    asks = False
    if form.is_valid():
        facts = form.cleaned_data
        try:
            tick_control(
                step,
                key=control.control.key,
                value=form.value(),
                seen=facts["seen"],
                is_sure=form.says_twice,
                by=request.user,
            )
        except Harmful as harmful:
            form.add_error("value", str(harmful))
            asks = True
        except EditedMeanwhile as meanwhile:
            theirs = meanwhile.current
            form = _seen_now(form, control, theirs)
        except RebuildRefused as refused:
            refusal = str(refused)
        else:
            return _ticked(request, step, control.control.key)
    context = {"theirs": theirs, "form": form, "refusal": refusal, "asks": asks}
    return _control_page(request, line, control, status=409 if theirs else 422, **context)


def _control_of(line: StageLine, key: str) -> ControlLine | None:
    return next((each for each in line.controls if each.control.key == key), None)


def _gone(request, step: RebuildStep) -> HttpResponse:
    """Somebody chose another unit for the stage, whose panel has no such control."""
    messages.warning(
        request,
        "That control is no longer on the unit’s panel, so nothing was saved: another unit was "
        "chosen meanwhile.",
    )
    if request.htmx:
        return HttpResponseClientRefresh()
    return redirect(step.rebuild)


def _seen_now(form: TickForm, control: ControlLine, theirs: Tick) -> TickForm:
    """The same typed value, to be saved over the other's if it is to be."""
    data = form.data.copy()
    value = form.value()
    for button in (*BUTTONS, "undo"):
        data.pop(button, None)
    data["seen"] = str(theirs.version)
    if value is not None:
        data["value"] = form.fields["value"].prepare_value(value)
    return TickForm(data, line=control)


def _ticked(request, step: RebuildStep, key: str) -> HttpResponse:
    if not request.htmx:
        return redirect(f"{step.rebuild.get_absolute_url()}#control-{step.pk}-{key}")
    line = stage_line(step)
    return _control_page(request, line, _control_of(line, key))


def _control_page(request, line: StageLine, control: ControlLine, *, status=200, **more):
    """One control: in place of the one on the checklist, or, without scripts, on a page of its own.

    htmx takes answers of 200 and 422 into the page, so a conflict is told as 422 there.
    """
    rebuild = line.step.rebuild
    context = {
        "rebuild": rebuild,
        "stage": line,
        "line": control,
        "crumbs": crumbs_of(rebuild, str(control.control)),
        **more,
    }
    if request.htmx:
        template, status = "sessions/recall/rebuilds/_control.html", 422 if status > 400 else 200
    else:
        template = "sessions/recall/rebuilds/control.html"
    return TemplateResponse(request, template, context, status=status)


@require_POST
def in_place(request: HttpRequest, pk: int) -> HttpResponse:
    """The unit is there and patched, or not any more."""
    step = step_of(request, pk)
    try:
        set_in_place(step, in_place=request.POST.get("in_place") == "1", by=request.user)
    except RebuildRefused as refusal:
        messages.warning(request, str(refusal))
    if request.htmx:
        context = {"stage": stage_line(step), "rebuild": step.rebuild}
        return TemplateResponse(request, "sessions/recall/rebuilds/_in_place.html", context)
    return redirect(f"{step.rebuild.get_absolute_url()}#step-{step.pk}")
