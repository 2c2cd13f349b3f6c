from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse

from gear.audio.level_text import EXPECTED
from gear.editing.versions import EditedMeanwhile
from sessions.setups.chains.actions import Seen
from sessions.setups.chains.views.meanwhile import both_versions
from sessions.setups.chains.views.messages import message_saved
from sessions.setups.levels.actions import log_levels
from sessions.setups.levels.forms import LevelsForm
from sessions.setups.models import Chain, Revision


def levels(request: HttpRequest, pk: int) -> HttpResponse:
    """The source's level, the test tone, and what was read at each stage's output."""
    chain = get_object_or_404(Chain.objects.visible_to(request.user), pk=pk)
    newest = chain.newest_revision()
    form = _form(newest, request.POST or None, initial={"seen": Seen.of(newest)})
    if request.method == "POST" and form.is_valid():
        seen = form.cleaned_data["seen"]
        try:
            saved = log_levels(chain, seen=seen, by=request.user, **form.facts())
        except EditedMeanwhile as meanwhile:
            current = Revision.objects.with_stages().get(pk=meanwhile.current.pk)
            what = f"the levels of the chain {current.chain}"
            return both_versions(request, current, partial(_form, current), what=what)
        message_saved(request, "Levels saved.", before=newest, after=saved)
        return redirect(f"{chain.get_absolute_url()}#levels")
    context = {
        "form": form,
        "chain": newest.chain,
        "revision": newest,
        "expected": EXPECTED,
        "last_logged": Revision.objects.visible_to(request.user).with_level_of(chain).first(),
    }
    return TemplateResponse(request, "sessions/setups/levels/levels_form.html", context)


def _form(revision: Revision, data=None, **options) -> LevelsForm:
    full_scale = float(revision.chain.setup.session.project.full_scale_dbu)
    return LevelsForm(data, instance=revision, full_scale_dbu=full_scale, **options)
