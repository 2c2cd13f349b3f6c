from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.asked import way_back


@require_POST
def choose_keys(request: HttpRequest) -> HttpResponse:
    """Keeps whether single-letter keys do anything for the user (WCAG 2.1.4), and goes back to the
    page they were on."""
    if request.POST.get("keys") in ("on", "off"):
        request.user.character_keys = request.POST["keys"] == "on"
        request.user.save(update_fields=["character_keys"])
    return redirect(way_back(request, reverse("home")))
