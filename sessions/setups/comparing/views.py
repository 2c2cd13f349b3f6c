from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse

from sessions.setups.comparing.comparison import Comparison, compare
from sessions.setups.comparing.forms import RevisionsForm
from sessions.setups.models import Chain, Revision


def compare_revisions(request: HttpRequest, pk: int) -> HttpResponse:
    """Two revisions side by side (`?before=&after=`): what changed, and by how much."""
    chains = Chain.objects.visible_to(request.user).select_related("setup__session", "group")
    chain = get_object_or_404(chains, pk=pk)
    chosen = request.GET if "before" in request.GET else RevisionsForm.start(chain)
    form = RevisionsForm(chosen, chain=chain, user=request.user)
    comparison = None
    if form.is_valid():
        keys = [form.cleaned_data[name].pk for name in ("before", "after")]
        loaded = {found.pk: found for found in Revision.objects.with_stages().filter(pk__in=keys)}
        comparison = compare(*(loaded[key] for key in keys))
    context = {"chain": chain, "form": form, "comparison": comparison, "sides": _sides(chain)}
    return TemplateResponse(request, "sessions/setups/comparing/comparison.html", context)


def _sides(chain: Chain) -> Comparison | None:
    """The two sides of the chain's pair as they stand now, the first against the second."""
    if chain.group is None or not chain.group.is_pair:
        return None
    newest = Revision.objects.newest().with_stages().filter(chain__group=chain.group)
    sides = list(newest.order_by("chain__position", "chain"))
    return compare(*sides) if len(sides) == 2 else None
