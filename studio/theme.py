from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from studio.models import Theme


@require_POST
def choose_theme(request: HttpRequest) -> HttpResponse:
    """Keeps the user's choice of light or dark, and goes back to the page they were on."""
    if request.POST.get("theme") in Theme.values:
        request.user.theme = request.POST["theme"]
        request.user.save(update_fields=["theme"])
    back = request.POST.get("next", "")
    safe = url_has_allowed_host_and_scheme(back, {request.get_host()}, request.is_secure())
    return redirect(back if safe else "home")
