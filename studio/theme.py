from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.asked import way_back
from studio.models import Theme


@require_POST
def choose_theme(request: HttpRequest) -> HttpResponse:
    """Keeps the user's choice of light or dark, and goes back to the page they were on."""
    if request.POST.get("theme") in Theme.values:
        request.user.theme = request.POST["theme"]
        request.user.save(update_fields=["theme"])
    return redirect(way_back(request, reverse("home")))
