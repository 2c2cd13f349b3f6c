from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse

from gear.editing.versions import EditedMeanwhile
from gear.equipment.cautions import LIFTING
from sessions.setups.chains.actions import Seen
from sessions.setups.chains.views.meanwhile import both_versions
from sessions.setups.chains.views.messages import message_saved
from sessions.setups.models import Chain, Placement, Revision
from sessions.setups.placement.actions import place_microphone
from sessions.setups.placement.forms import PlacementForm


def placement(request: HttpRequest, pk: int) -> HttpResponse:
    """Where the chain's microphone stands."""
    chains = Chain.objects.visible_to(request.user).select_related("setup__session")
    chain = get_object_or_404(chains, pk=pk)
    newest = chain.newest_revision()
    form = PlacementForm(
        request.POST or None,
        instance=_placement_of(newest),
        initial={"seen": Seen.of(newest)},
    )
    if request.method == "POST" and form.is_valid():
        seen = form.cleaned_data["seen"]
        try:
            saved = place_microphone(chain, seen=seen, by=request.user, **form.facts())
        except EditedMeanwhile as meanwhile:
            current = meanwhile.current
            return both_versions(
                request,
                current,
                lambda data=None: PlacementForm(data, instance=_placement_of(current)),
                what=f"the placement in the chain {current.chain}",
            )
        message_saved(request, "Placement saved.", before=newest, after=saved.revision)
        return redirect(chain)
    context = {
        "form": form,
        "chain": chain,
        "revision": newest,
        "lifting": LIFTING,
        "back": chain.get_absolute_url(),
    }
    return TemplateResponse(request, "sessions/setups/placement/placement_form.html", context)


def _placement_of(revision: Revision) -> Placement:
    """The revision's placement as it is saved, or a blank one."""
    return Placement.objects.filter(revision=revision).first() or Placement(revision=revision)
