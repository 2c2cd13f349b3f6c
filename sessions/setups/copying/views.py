from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from gear.editing.form_pages import form_page
from gear.equipment.models import Unit
from sessions.bookings.models import RecordingSession
from sessions.setups.chains.actions import OutOfService
from sessions.setups.chains.availability import not_ready
from sessions.setups.chains.views.messages import say_lost
from sessions.setups.chains.views.setups import crumbs_of
from sessions.setups.copying.actions import copy_chain_alone, copy_mix, copy_setup, copy_stage
from sessions.setups.copying.forms import ChainCopyForm, MixCopyForm, SetupCopyForm, StageCopyForm
from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Chain, Setup, Stage
from sessions.setups.swapping.harm import in_session_of


def setup_copy(request: HttpRequest, pk: int) -> HttpResponse:
    """Start from a setup of an earlier session, or of this one."""
    sessions = RecordingSession.objects.visible_to(request.user).select_related("project")
    session = get_object_or_404(sessions, pk=pk)
    form = SetupCopyForm(
        request.POST or None, session=session, user=request.user, initial=request.GET.dict()
    )
    if request.method == "POST" and form.is_valid():
        source, name = form.cleaned_data["setup"], form.cleaned_data["name"]
        copied = copy_setup(source, to=session, name=name, by=request.user)
        messages.success(request, f"{copied.copy} saved as a copy. {source} is unchanged.")
        say_lost(request, copied.left_out)
        _warn_of_what_is_not_ready(request, copied.copy)
        return redirect("editor:setup", copied.copy.pk)
    return form_page(
        request, form, title="Start from a setup", crumbs=crumbs_of(session), action="Copy"
    )


def _warn_of_what_is_not_ready(request, setup: Setup) -> None:
    units = Unit.objects.filter(stages__revision__chain__setup=setup).for_list().distinct()
    for each in not_ready(setup.session, units):
        messages.warning(request, each.reason)


def chain_copy(request: HttpRequest, pk: int) -> HttpResponse:
    """Start another chain from this one: the next part, another setup, another day."""
    chains = Chain.objects.visible_to(request.user).select_related("setup__session__project")
    chain = get_object_or_404(chains, pk=pk)
    form = ChainCopyForm(
        request.POST or None,
        project=chain.setup.session.project,
        initial={
            "setup": chain.setup_id,
            "source": chain.source.name,
            "taken_by": chain.taken_by,
            "summed_at": chain.summed_at,
            "parts": chain.parts.all(),
            "track": chain.track,
            "destination_input": chain.destination_input,
        },
    )
    if request.method == "POST" and form.is_valid():
        facts = form.cleaned_data
        copied = copy_chain_alone(chain, to=facts.pop("setup"), by=request.user, **facts)
        copy = copied.copy
        messages.success(request, f"{copy} saved as a copy. {chain} is unchanged.")
        say_lost(request, copied.left_out)
        for unit in copy.newest_revision().units_out_of_service():
            messages.warning(request, unit.why_not())
        return redirect(copy)
    return form_page(request, form, title=f"Copy {chain}", crumbs=_crumbs(chain))


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
    form = StageCopyForm(request.POST or None, stage=stage, in_session=in_session_of(chain))
    if request.method == "POST" and form.is_valid():
        to = form.cleaned_data["chain"]
        try:
            copied = copy_stage(stage, to=to, by=request.user)
        except OutOfService as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"{stage.unit} copied, with its settings, into {to}.")
            say_lost(request, copied.left_out)
            return redirect(to)
    return form_page(
        request, form, title=f"Copy {stage.unit}", crumbs=_crumbs(chain), action="Copy"
    )


def _crumbs(chain: Chain) -> list[tuple[str, str]]:
    return [*crumbs_of(chain.setup.session), (str(chain), chain.get_absolute_url())]
