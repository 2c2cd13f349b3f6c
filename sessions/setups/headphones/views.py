from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_POST

from gear.editing.form_pages import create_page, edit_page
from gear.editing.versions import EditedMeanwhile, version_in
from sessions.setups.chains.views.setups import crumbs_of
from sessions.setups.headphones import actions
from sessions.setups.headphones.delay import delay_of
from sessions.setups.headphones.forms import BufferForm, HeadphoneMixForm, LimitForm
from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Setup

TEMPLATE = "sessions/setups/headphones/mix_form.html"


def mix_create(request: HttpRequest, pk: int) -> HttpResponse:
    """Somebody else in the setup hears something else."""
    setups = Setup.objects.visible_to(request.user).select_related("session__project")
    setup = get_object_or_404(setups, pk=pk)
    mix = HeadphoneMix(setup=setup, position=setup.headphone_mixes.count() + 1)
    form = HeadphoneMixForm(request.POST or None, instance=mix)
    crumbs = crumbs_of(setup.session)
    return create_page(request, form, title="New headphone mix", crumbs=crumbs, template=TEMPLATE)


def mix_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Who hears it, through what, and how it is balanced."""
    mix = _mix_of(request, pk)
    form = HeadphoneMixForm(request.POST or None, instance=mix)
    return edit_page(request, form, crumbs=crumbs_of(mix.setup.session), template=TEMPLATE)


def mix_delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then take the mix out of the setup; its history stays."""
    mix = _mix_of(request, pk)
    if request.method == "POST":
        address = mix.get_absolute_url()
        try:
            actions.remove_mix(mix, version=version_in(request.POST.get("seen", "")))
        except EditedMeanwhile as edited:
            mix = edited.current
            messages.warning(
                request, f"Somebody changed {mix} just now, so it stays: check it, and press again."
            )
        else:
            messages.success(request, f"{mix} removed.")
            return redirect(address)
    context = {"mix": mix, "session": mix.setup.session}
    return TemplateResponse(request, "sessions/setups/headphones/mix_delete.html", context)


def _mix_of(request, pk: int) -> HeadphoneMix:
    mixes = HeadphoneMix.objects.visible_to(request.user).select_related("setup__session__project")
    return get_object_or_404(mixes, pk=pk)


def delay(request: HttpRequest, pk: int) -> HttpResponse:
    """What performers hear how late, and the largest buffer that keeps to `?limit_ms=`."""
    setup = get_object_or_404(Setup.objects.visible_to(request.user).with_chains(), pk=pk)
    found = delay_of(setup, [chain.newest_revision() for chain in setup.chains.all()])
    form = LimitForm(request.GET if "limit_ms" in request.GET else None)
    limit = form.cleaned_data["limit_ms"] if form.is_bound and form.is_valid() else None
    context = {
        "setup": setup,
        "delay": found,
        "form": form,
        "limit_ms": limit,
        "largest": None if limit is None else found.largest_under(float(limit)),
    }
    return TemplateResponse(request, "sessions/setups/headphones/delay.html", context)


@require_POST
def use_buffer(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down that the performers monitor through this buffer."""
    setup = get_object_or_404(Setup.objects.visible_to(request.user), pk=pk)
    form = BufferForm(request.POST)
    if not form.is_valid():
        messages.warning(request, "Nothing was changed: press the button beside a buffer again.")
        return redirect("setups:delay", pk=pk)
    samples = form.cleaned_data["samples"]
    try:
        actions.use_buffer(setup, samples, version=form.cleaned_data["seen"], by=request.user)
    except EditedMeanwhile as edited:
        now = edited.current.buffer_samples
        stands = f"a buffer of {now} samples" if now else "no buffer"
        messages.warning(
            request,
            f"Somebody changed {setup} just now, and it has {stands}: check it, and press again.",
        )
    else:
        messages.success(
            request, f"{setup}: buffer of {samples} samples. Set the workstation to it as well."
        )
    return redirect("setups:delay", pk=pk)
