from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from gear.editing.form_pages import form_page
from gear.equipment.models import Unit
from sessions.bookings.models import RecordingSession
from sessions.setups.chains.actions import OutOfService
from sessions.setups.chains.availability import not_ready
from sessions.setups.chains.views.setups import crumbs_of
from sessions.setups.copying.actions import copy_mix, copy_setup, copy_stage
from sessions.setups.copying.forms import MixCopyForm, SetupCopyForm, StageCopyForm
from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Setup, Stage


def setup_copy(request: HttpRequest, pk: int) -> HttpResponse:
    """Start from a setup of an earlier session, or of this one."""
    sessions = RecordingSession.objects.visible_to(request.user).select_related("project")
    session = get_object_or_404(sessions, pk=pk)
    form = SetupCopyForm(
        request.POST or None, session=session, user=request.user, initial=request.GET.dict()
    )
    if request.method == "POST" and form.is_valid():
        source, name = form.cleaned_data["setup"], form.cleaned_data["name"]
        copy = copy_setup(source, to=session, name=name, by=request.user)
        messages.success(request, f"{copy} saved as a copy. {source} is unchanged.")
        _warn_of_what_is_not_ready(request, copy)
        return redirect("editor:setup", copy.pk)
    return form_page(
        request, form, title="Start from a setup", crumbs=crumbs_of(session), action="Copy"
    )


def _warn_of_what_is_not_ready(request, setup: Setup) -> None:
    units = Unit.objects.filter(stages__revision__chain__setup=setup).for_list().distinct()
    for each in not_ready(setup.session, units):
        messages.warning(request, each.reason)


def mix_copy(request: HttpRequest, pk: int) -> HttpResponse:
    """The mix for somebody else, here or in another setup."""
    mixes = HeadphoneMix.objects.visible_to(request.user).for_list()
    mix = get_object_or_404(mixes.select_related("setup__session__project"), pk=pk)
    form = MixCopyForm(request.POST or None, mix=mix)
    if request.method == "POST" and form.is_valid():
        facts = form.cleaned_data
        copy = copy_mix(mix, to=facts.pop("setup"), by=request.user, **facts)
        messages.success(request, f"{mix} copied as {copy}.")
        return redirect(copy)
    crumbs = crumbs_of(mix.setup.session)
    return form_page(request, form, title=f"Copy {mix}", crumbs=crumbs, action="Copy")


def stage_copy(request: HttpRequest, pk: int) -> HttpResponse:
    """Put the unit, set as it is here, into another chain of the session too."""
    stages = Stage.objects.visible_to(request.user).select_related(
        "unit__model",
        "panel",
        "patch_in",
        "patch_out",
        "revision__chain__setup__session",
        "revision__chain__source",
    )
    stage = get_object_or_404(stages, pk=pk)
    chain = stage.revision.chain
    form = StageCopyForm(request.POST or None, stage=stage)
    if request.method == "POST" and form.is_valid():
        to = form.cleaned_data["chain"]
        try:
            copy_stage(stage, to=to, by=request.user)
        except OutOfService as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"{stage.unit} copied, with its settings, into {to}.")
            return redirect(to)
    crumbs = [*crumbs_of(chain.setup.session), (str(chain), chain.get_absolute_url())]
    return form_page(request, form, title=f"Copy {stage.unit}", crumbs=crumbs, action="Copy")
