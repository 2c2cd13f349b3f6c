from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse

from sessions.recall.rebuilds.actions import RebuildRefused, finish_rebuild
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.forms import FinishForm
from sessions.recall.rebuilds.report import rebuild_report
from sessions.recall.rebuilds.views.common import crumbs_of, rebuild_of


def finish(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep what was set up as a setup of a session."""
    rebuild = rebuild_of(request, pk)
    if rebuild.is_finished:
        return redirect("rebuild:report", rebuild.pk)
    form = FinishForm(request.POST or None, rebuild=rebuild, user=request.user)
    if request.method == "POST" and form.is_valid():
        try:
            setup = finish_rebuild(rebuild, by=request.user, **form.cleaned_data)
        except RebuildRefused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"Saved as the setup “{setup}” of {setup.session}.")
            return redirect("rebuild:report", rebuild.pk)
    context = {
        "form": form,
        "rebuild": rebuild,
        "checklist": checklist_of(rebuild),
        "back": rebuild.get_absolute_url(),
        "crumbs": crumbs_of(rebuild, "Finish"),
    }
    status = 422 if form.is_bound else 200
    return TemplateResponse(request, "sessions/recall/rebuilds/finish.html", context, status=status)


def report(request: HttpRequest, pk: int) -> HttpResponse:
    """What the rebuild differs in from what was logged."""
    rebuild = rebuild_of(request, pk)
    context = {
        "rebuild": rebuild,
        "report": rebuild_report(checklist_of(rebuild)),
        "crumbs": crumbs_of(rebuild, "Report"),
    }
    return TemplateResponse(request, "sessions/recall/rebuilds/report.html", context)
