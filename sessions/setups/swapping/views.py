from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_POST

from gear.asked import way_back
from gear.editing.versions import EditedMeanwhile
from gear.equipment.cautions import HIGH_VOLTAGE, PATCHING
from sessions.setups.chains.actions import OutOfService, Seen
from sessions.setups.chains.views.messages import message_saved, say_lost
from sessions.setups.chains.views.stages import OUT_OF_DATE
from sessions.setups.models import Chain, Stage
from sessions.setups.swapping.actions import set_up_again, swap_unit
from sessions.setups.swapping.forms import SwapForm
from sessions.setups.swapping.harm import asks_before_setting_up, in_session_of


def swap(request: HttpRequest, pk: int) -> HttpResponse:
    """Another unit of its kind in the place of one; its line, patch and shared settings stay."""
    stages = Stage.objects.visible_to(request.user)
    found = get_object_or_404(stages.select_related("revision__chain__setup"), pk=pk)
    in_session = in_session_of(found.revision.chain)
    revision = next(each for each in in_session if each.chain_id == found.revision.chain_id)
    stage = next((each for each in revision.stages.all() if each.pk == pk), None)
    if stage is None:  # an earlier revision's, or removed
        messages.warning(request, OUT_OF_DATE)
        return redirect(revision.chain)
    form = SwapForm(
        request.POST or None,
        stage=stage,
        in_session=in_session,
        initial={"seen": Seen.of(revision)},
    )
    back = way_back(request, revision.chain.get_absolute_url())
    if request.method == "POST" and form.is_valid():
        unit, seen = form.cleaned_data["unit"], form.cleaned_data["seen"]
        try:
            swapped = swap_unit(stage, unit=unit, seen=seen, by=request.user)
        except OutOfService as refusal:
            form.add_error("unit", str(refusal))
        except EditedMeanwhile:
            messages.warning(request, OUT_OF_DATE)
            return redirect(request.get_full_path())
        else:
            text = f"{unit} stands in the place of {stage.unit}."
            message_saved(request, text, before=revision, after=swapped.revision)
            say_lost(request, swapped.lost)
            return redirect(back)
    context = {
        "form": form,
        "lines": form.lines(),
        "stage": stage,
        "chain": revision.chain,
        "back": back,
        "cautions": [HIGH_VOLTAGE, PATCHING] if stage.unit.model.needs_supply else [PATCHING],
    }
    return TemplateResponse(request, "sessions/setups/swapping/swap.html", context)


@require_POST
def set_up(request: HttpRequest, pk: int) -> HttpResponse:
    """Let a chain that was struck stand again, after asking what would come to harm."""
    chains = Chain.objects.visible_to(request.user).select_related("setup")
    chain = get_object_or_404(chains, pk=pk)
    asks = [] if "is_sure" in request.POST else asks_before_setting_up(chain, in_session_of(chain))
    if asks:
        context = {"chain": chain, "asks": asks}
        return TemplateResponse(request, "sessions/setups/swapping/set_up.html", context)
    replaced = set_up_again(chain, by=request.user)
    text = f"{chain} is set up again."
    if replaced:
        text += f" Struck: {', '.join(map(str, replaced))}."
    messages.success(request, text)
    return redirect(chain)
