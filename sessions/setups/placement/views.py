from pathlib import PurePath

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.views.decorators.cache import cache_control

from gear.editing.versions import EditedMeanwhile
from gear.equipment.cautions import LIFTING
from sessions.setups.chains.actions import Seen
from sessions.setups.chains.views.meanwhile import both_versions
from sessions.setups.chains.views.messages import message_saved
from sessions.setups.models import Chain, Placement, Revision
from sessions.setups.placement.actions import place_microphone
from sessions.setups.placement.forms import PHOTO_TYPES, PlacementForm

CONTENT_TYPES = {suffix: f"image/{format.lower()}" for format, suffix in PHOTO_TYPES.items()}


def placement(request: HttpRequest, pk: int) -> HttpResponse:
    """Where the chain's microphone stands."""
    chains = Chain.objects.visible_to(request.user).select_related("setup__session")
    chain = get_object_or_404(chains, pk=pk)
    newest = chain.newest_revision()
    form = PlacementForm(
        request.POST or None,
        request.FILES or None,
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
        message_saved(request, "The placement is saved.", before=newest, after=saved.revision)
        return redirect(chain)
    context = {
        "form": form,
        "chain": chain,
        "revision": newest,
        "placement": getattr(newest, "placement", None),
        "lifting": LIFTING,
        "back": chain.get_absolute_url(),
    }
    return TemplateResponse(request, "sessions/setups/placement/placement_form.html", context)


def _placement_of(revision: Revision) -> Placement:
    """The revision's placement as it is saved, or a blank one."""
    return Placement.objects.filter(revision=revision).first() or Placement(revision=revision)


@cache_control(private=True, max_age=3600)
def photo(request: HttpRequest, pk: int) -> FileResponse:
    """The picture of a placement, as the kind of image that it was checked to be."""
    placements = Placement.objects.visible_to(request.user).exclude(photo="")
    photo = get_object_or_404(placements, pk=pk).photo
    content_type = CONTENT_TYPES.get(PurePath(photo.name).suffix)
    if content_type is None:
        raise Http404("This is no picture that can be shown.")
    try:
        return FileResponse(photo.open("rb"), content_type=content_type)
    except FileNotFoundError as missing:
        raise Http404("The picture’s file is missing.") from missing
