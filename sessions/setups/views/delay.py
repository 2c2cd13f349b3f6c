from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse

from sessions.setups.delay import delay_of
from sessions.setups.delay_forms import LimitForm
from sessions.setups.models import Setup


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
    return TemplateResponse(request, "sessions/setups/delay.html", context)
