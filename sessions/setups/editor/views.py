from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.asked import way_back
from gear.editing.versions import EditedMeanwhile, differences
from gear.patchbay.models import PatchPoint, Side
from sessions.setups.chains.actions import OutOfService, add_stage
from sessions.setups.chains.asking import why_ask
from sessions.setups.chains.availability import unit_choices
from sessions.setups.chains.fields import PointNames
from sessions.setups.chains.versions import last_edit
from sessions.setups.chains.views.messages import message_saved
from sessions.setups.editor.actions import (
    FieldEditedMeanwhile,
    StageTakenOut,
    confirm_copied,
    set_field,
    set_stages,
)
from sessions.setups.editor.answers import refused, saved, saved_otherwise, taken_out
from sessions.setups.editor.forms import AddForm, OneFieldForm, StageLineForm
from sessions.setups.editor.keys import stage_keys
from sessions.setups.editor.page import ChainLine, warnings_of
from sessions.setups.models import Chain, Path, Revision, Setup
from sessions.setups.patching.patch_list import newest_of_sessions

OUT_OF_DATE = "This page is out of date: reload it before you go on."


def chain(request: HttpRequest, pk: int) -> HttpResponse:
    """Every control of a chain on one page, from source to track, and a field to add a unit."""
    [line] = _lines_of_chain(request, pk)
    add = _add_form(line, begins=_goes_on_with_a_unit(line, request.GET.get("focus")))
    return _editor(request, [line], back=line.chain.get_absolute_url(), add=add)


@require_POST
def add(request: HttpRequest, pk: int) -> HttpResponse:
    """Add the unit that was typed at the end of the chain, and go to its first control."""
    [line] = _lines_of_chain(request, pk, typed=False)
    form = _add_form(line, request.POST)
    if form.is_valid():
        unit = form.cleaned_data["unit"]
        try:
            channel = line.chain.setup.free_channel(unit)
            stage = add_stage(
                line.chain,
                seen=line.seen,
                by=request.user,
                unit=unit,
                channel=channel,
                panel=unit.model.current_panel(),
                path=Path.PRINTED,
                settings={},
                position=form.position(),
                patch_in=line.names.only_wired(unit, Side.RETURN, channel),
                patch_out=line.names.only_wired(unit, Side.SEND, channel),
            )
        except OutOfService as refusal:
            form.add_error("unit", str(refusal))
        except EditedMeanwhile:
            form.add_error(
                "unit", "Somebody changed the chain just now: check it, and press again."
            )
        else:
            keys = stage_keys(stage.revision.stages.all())
            key = next(key for key, each in keys.items() if each == stage)
            # without a fragment, which would keep the browser from its autofocus
            return redirect(f"{reverse('editor:chain', args=[pk])}?focus={key}")
    return _editor(request, [line], back=line.chain.get_absolute_url(), add=form, status=422)


@require_POST
def confirm(request: HttpRequest, pk: int) -> HttpResponse:
    """One unit (`stage`, by its key) is set as it was copied; and back to where one was."""
    chain = get_object_or_404(Chain.objects.visible_to(request.user), pk=pk)
    key = request.POST.get("stage", "")
    before = chain.newest_revision()
    if asks := _asks_before_confirming(before, key):
        messages.warning(request, f"Nothing was saved. {asks}")
        return redirect(f"{reverse('editor:chain', args=[pk])}#stage-{pk}-{key}")
    try:
        after = confirm_copied(chain, key=key, by=request.user)
    except StageTakenOut:
        messages.warning(request, "Somebody removed this unit from the chain.")
        return redirect(chain)
    unit = stage_keys(after.stages.select_related("unit__model"))[key].unit
    message_saved(request, f"{unit} is set as it was copied.", before=before, after=after)
    return redirect(f"{way_back(request, chain.get_absolute_url())}#stage-{pk}-{key}")


def _asks_before_confirming(revision: Revision, key: str) -> str:
    """What one press does not log: it is typed there, and said twice."""
    stage = stage_keys(revision.stages.all()).get(key)
    copied = stage.controls_not_yet_set() if stage else ()
    return " ".join(
        filter(None, (why_ask(stage, control, stage.setting(control)) for control in copied))
    )


def setup(request: HttpRequest, pk: int) -> HttpResponse:
    """The same for all chains of a setup, one below the other."""
    setups = Setup.objects.visible_to(request.user).select_related("session")
    setup = get_object_or_404(setups, pk=pk)
    in_session = list(newest_of_sessions([setup.session_id]))
    ours = [newest for newest in in_session if newest.chain.setup_id == setup.pk]
    lines = _lines(request, ours, in_session)
    return _editor(request, lines, setup=setup, back=setup.get_absolute_url())


def _lines_of_chain(request, pk: int, *, typed: bool = True) -> list[ChainLine]:
    """The chain as it stands now."""
    chains = Chain.objects.visible_to(request.user).select_related("setup")
    chain = get_object_or_404(chains, pk=pk)
    in_session = list(newest_of_sessions([chain.setup.session_id]))
    ours = [newest for newest in in_session if newest.chain_id == pk]
    return _lines(request, ours, in_session, typed=typed)


def _lines(request, revisions, in_session, *, typed: bool = True) -> list[ChainLine]:
    """Of each chain, with what was typed on the page if that was sent with this request."""
    names = PointNames(PatchPoint.objects.for_list())
    data = request.POST if typed and request.method == "POST" else None
    return [ChainLine(revision, names, in_session, data) for revision in revisions]


def _add_form(line: ChainLine, data=None, *, begins: bool = False) -> AddForm:
    return AddForm(
        data,
        choices=unit_choices(line.revision),
        revision=line.revision,
        in_session=line.in_session,
        begins=begins,
    )


def _goes_on_with_a_unit(line: ChainLine, focus: str | None) -> bool:
    """Where there is nothing to set yet, or nothing on the unit that was added just now."""
    added = [each for each in line.stages if each.key == focus]
    return not line.stages or any(not each.form.controls for each in added)


def _editor(request, lines, *, back, setup=None, add=None, status=200) -> HttpResponse:
    meanwhile = None
    if request.method == "POST" and status == 200 and all(line.is_valid() for line in lines):
        try:
            set_stages([line.typed() for line in lines], by=request.user)
        except EditedMeanwhile as edited:
            meanwhile, status = edited.current, 409
        except ValidationError:
            messages.warning(request, OUT_OF_DATE)
        else:
            messages.success(request, "All saved.")
            return redirect(request.get_full_path())
    context = {
        "lines": lines,
        "points": lines[0].names.by_key.values() if lines else [],
        "setup": setup or lines[0].chain.setup,
        "setup_warnings": warnings_of(lines[0].chain.setup, lines[0].in_session) if lines else [],
        "chain": None if setup else lines[0].chain,
        "add": add,
        "back": back,
        "focus": request.GET.get("focus", ""),
        "edit": meanwhile and last_edit(meanwhile),
        "rows": _differences(lines) if meanwhile else [],
    }
    return TemplateResponse(request, "sessions/setups/editor/page.html", context, status=status)


def _differences(lines: list[ChainLine]) -> list:
    """Where what was typed is not what is saved now, stage by stage."""
    found = []
    for line in lines:
        for typed in line.stages:
            saved = StageLineForm(typed.stage, names=line.names)
            found += [(typed.stage.unit, *row) for row in differences(typed.form, saved)]
    return found


@require_POST
def field(request: HttpRequest, pk: int) -> JsonResponse:
    """Save one field of one stage; what is answered stands in `answers`."""
    chains = Chain.objects.visible_to(request.user).select_related("setup")
    chain = get_object_or_404(chains, pk=pk)
    sent = OneFieldForm(request.POST)
    if not sent.is_valid():
        return refused(OUT_OF_DATE)
    key, name = sent.cleaned_data["stage"], sent.cleaned_data["name"]
    names = PointNames(PatchPoint.objects.for_list())
    newest = chain.newest_revision()
    stage = stage_keys(newest.stages.all()).get(key)
    if stage is None:
        return taken_out()
    form = StageLineForm(stage, names=names)
    asked = form.fields.get(name)
    if asked is None:
        return refused(OUT_OF_DATE)
    try:
        value = asked.clean(sent.cleaned_data["value"])
    except ValidationError as problem:
        return refused(" ".join(problem.messages))
    control = form.controls.get(name)
    asks = control and not sent.cleaned_data["is_sure"]
    if asks and (problem := form.why_ask(control, value)):
        return refused(problem, asks=True)
    try:
        set_field(
            chain,
            key=key,
            name=name,
            was=_before(asked, sent.cleaned_data["was"]),
            value=value,
            by=request.user,
        )
    except StageTakenOut:
        return taken_out()
    except FieldEditedMeanwhile as edited:
        return saved_otherwise(edited.stage, name, names=names)
    in_session = list(newest_of_sessions([chain.setup.session_id]))
    now = next(each for each in in_session if each.chain_id == pk)
    line = ChainLine(now, names, in_session)
    return saved(request, line, key, name, seen=sent.cleaned_data["seen"], before=newest)


def _before(asked, text: str):
    """What stood there before, as the form cleans it; what it cannot read stood nowhere."""
    try:
        return asked.clean(text)
    except ValidationError:
        return text
