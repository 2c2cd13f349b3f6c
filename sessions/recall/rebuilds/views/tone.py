from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_POST

from gear.audio.level_text import level_text
from gear.audio.levels import dbfs_from_dbu
from gear.audio.values import format_value
from gear.editing.versions import EditedMeanwhile
from gear.equipment.models import Category
from sessions.recall.models import Rebuild, RebuildStep
from sessions.recall.rebuilds.actions import RebuildRefused, read_tone
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.forms import ToneForm
from sessions.recall.rebuilds.lines import Checklist, StageLine
from sessions.recall.rebuilds.pairs import groups_of
from sessions.recall.rebuilds.tone import TOLERANCE_DB, StageTone
from sessions.recall.rebuilds.views.common import crumbs_of, rebuild_of, step_of


@dataclass(frozen=True)
class ToneRow:
    """One stage; dbfs_text is what a converter shows where it reads as it ought."""

    line: StageLine
    tone: StageTone
    form: ToneForm
    dbfs_text: str


def tone_check(request: HttpRequest, pk: int) -> HttpResponse:
    """Send the tone that was logged, and read it at every stage."""
    return _page(request, checklist_of(rebuild_of(request, pk)))


@require_POST
def reading(request: HttpRequest, pk: int) -> HttpResponse:
    """Save what the meter reads at one stage; answers with what that says of the whole chain."""
    step = step_of(request, pk)
    rebuild = rebuild_of(request, step.rebuild_id)
    full_scale = _full_scale(rebuild)
    form, status = ToneForm(request.POST, step=step, full_scale_dbu=full_scale), 422
    if form.is_valid():
        try:
            read_tone(step, by=request.user, **form.cleaned_data)
        except RebuildRefused as refusal:
            messages.warning(request, str(refusal))
            return redirect("rebuild:tone", rebuild.pk)
        except EditedMeanwhile as meanwhile:
            form, status = _seen_now(request, meanwhile.current, full_scale), 409
        else:
            return _saved(request, checklist_of(rebuild), step)
    if request.htmx:  # which takes no other refusal into the page than 422
        row = next(row for _, row in _rows(checklist_of(rebuild), form, step) if row.form is form)
        return _answer(request, "_tone_reading.html", rebuild, row=row, status=422)
    return _page(request, checklist_of(rebuild), form, step, status=status)


def _seen_now(request, theirs: RebuildStep, full_scale: float) -> ToneForm:
    """The same typed reading, to be saved over the other's if it is to be."""
    read = theirs.tone_reading_dbu
    said = "removed the reading" if read is None else f"read {level_text(float(read))} here"
    data = {**request.POST.dict(), "seen": theirs.version}
    form = ToneForm(data, step=theirs, full_scale_dbu=full_scale)
    form.full_clean()
    form.add_error("reading", f"Somebody else {said} meanwhile: save once more if yours is right.")
    return form


def _saved(request, checklist: Checklist, step: RebuildStep) -> HttpResponse:
    """With a script only what the reading changes, so that what is typed elsewhere stays."""
    if not request.htmx:
        return redirect("rebuild:tone", checklist.rebuild.pk)
    rows = [
        (chain, row)
        for chain, row in _rows(checklist)
        if row.line.step.chain_number == step.chain_number
    ]
    context = {
        "chain": rows[0][0],
        "rows": [row for _, row in rows],
        "row": next(row for _, row in rows if row.line.step.pk == step.pk),
        "groups": groups_of(checklist.chains),
    }
    return _answer(request, "_tone_saved.html", checklist.rebuild, **context)


def _answer(request, template: str, rebuild: Rebuild, *, status=200, **context) -> HttpResponse:
    context = {"rebuild": rebuild, "tolerance": TOLERANCE_DB, **context}
    return TemplateResponse(request, f"sessions/recall/rebuilds/{template}", context, status=status)


def _page(request, checklist: Checklist, form=None, step=None, *, status=200) -> HttpResponse:
    rows = list(_rows(checklist, form, step))
    chains = [(chain, [row for of, row in rows if of is chain]) for chain in checklist.chains]
    crumbs = crumbs_of(checklist.rebuild, "Tone check")
    return _answer(
        request,
        "tone.html",
        checklist.rebuild,
        status=status,
        chains=chains,
        crumbs=crumbs,
        groups=groups_of(checklist.chains),
    )


def _rows(checklist: Checklist, form: ToneForm | None = None, step: RebuildStep | None = None):
    """Every stage that the tone goes through, with its chain; the form that was sent for its step."""
    full_scale = _full_scale(checklist.rebuild)
    for chain in checklist.chains:
        for line, tone in chain.with_tone:
            fresh = ToneForm(step=line.step, full_scale_dbu=full_scale)
            own = form if step and line.step.pk == step.pk else fresh
            yield chain, ToneRow(line, tone, own, _dbfs_text(line, tone, full_scale))


def _dbfs_text(line: StageLine, tone: StageTone, full_scale: float) -> str:
    if line.wanted.category != Category.CONVERTER or tone.expected is None:
        return ""
    return format_value(round(dbfs_from_dbu(tone.expected, full_scale), 1), "dBFS")


def _full_scale(rebuild: Rebuild) -> float:
    return float(rebuild.song.project.full_scale_dbu)
