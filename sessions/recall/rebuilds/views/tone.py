from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_POST

from sessions.editing import EditedMeanwhile
from sessions.recall.rebuilds.actions import RebuildRefused, read_tone
from sessions.recall.rebuilds.forms import ToneForm
from sessions.recall.rebuilds.tone import TOLERANCE_DB
from sessions.recall.rebuilds.views.checklist import step_of
from sessions.recall.rebuilds.views.common import crumbs_of, rebuild_of
from sessions.recall.rebuilds.work import work_of


def tone_check(request: HttpRequest, pk: int) -> HttpResponse:
    """Send the tone that was logged, and read it at every stage."""
    return _page(request, rebuild_of(request, pk))


@require_POST
def reading(request: HttpRequest, pk: int) -> HttpResponse:
    """Save what the meter reads at one stage."""
    step = step_of(request, pk)
    form = ToneForm(request.POST)
    rebuild = rebuild_of(request, step.rebuild_id)
    if not form.is_valid():
        return _page(request, rebuild, typed=(step.pk, form), status=422)
    facts = form.cleaned_data
    try:
        read_tone(step, reading=facts["reading"], seen=facts["seen"], by=request.user)
    except RebuildRefused as refusal:
        messages.warning(request, str(refusal))
    except EditedMeanwhile as meanwhile:
        theirs = meanwhile.current.tone_reading_dbu
        said = "took the reading away" if theirs is None else f"read {theirs} dBu here"
        form = ToneForm({**request.POST.dict(), "seen": meanwhile.current.version})
        form.full_clean()
        form.add_error(
            "reading", f"Somebody else {said} meanwhile: save once more if yours is right."
        )
        return _page(request, rebuild, typed=(step.pk, form), status=409)
    if request.htmx:
        return _page(request, rebuild)
    return redirect("rebuild:tone", rebuild.pk)


def _page(request, rebuild, *, typed=(None, None), status=200) -> HttpResponse:
    """The whole check, since one reading may move where the chain first departs."""
    work = work_of(rebuild)
    context = {
        "rebuild": rebuild,
        "chains": [(chain, _forms(chain, *typed)) for chain in work.chains],
        "tolerance": TOLERANCE_DB,
        "crumbs": crumbs_of(rebuild, "Tone check"),
    }
    template = "sessions/recall/rebuilds/tone.html"
    if request.htmx:
        template += "#check"
        status = 422 if status == 409 else status  # htmx takes no other refusal into the page
    return TemplateResponse(request, template, context, status=status)


def _forms(chain, step_pk, form) -> list[tuple]:
    return [
        (line, form if line.step.pk == step_pk else _fresh(line.step))
        for line in chain.stages
        if line.unit
    ]


def _fresh(step) -> ToneForm:
    reading = step.tone_reading_dbu
    shown = "" if reading is None else f"{reading.normalize():+f}"
    return ToneForm(initial={"reading": shown, "seen": step.version})
