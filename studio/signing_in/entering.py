"""The one way in, once it is certain who somebody is."""

from axes.helpers import get_client_ip_address
from django.conf import settings
from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse

from studio.known_devices import KEPT, KnownDevice
from studio.models import User
from studio.signing_in.not_sent import forget_of_others
from studio.signing_in.trying import COOKIE

BACKEND = "studio.backends.RoleBackend"


def enter(request: HttpRequest, user: User, response: HttpResponse) -> HttpResponse:
    """Signs the user in; with the response the browser gets what its device is known by."""
    forget_of_others(request, user)
    request.session.note_where(request, get_client_ip_address(request) or "")
    login(request, user, BACKEND)
    return make_known(request, user, response)


def make_known(request: HttpRequest, user: User, response: HttpResponse) -> HttpResponse:
    """Nobody signs in by it: from now on wrong passwords on this device are counted apart."""
    token = KnownDevice.objects.remember(user, request.COOKIES.get(COOKIE, ""))
    response.set_cookie(
        COOKIE,
        token,
        max_age=KEPT,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )
    return response
