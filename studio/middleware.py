import secrets

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.template.defaultfilters import filesizeformat
from django.utils.cache import patch_cache_control

from studio.access import (
    BODY_LIMIT,
    PAGES,
    PUBLIC,
    PUBLIC_BODY_LIMIT,
    TAKES_FILES,
    may_open,
)
from studio.logs import current_request
from studio.lookups import LARGEST
from studio.uploads import LimitedUploadHandler

MUCH_ELSE = 128  # times 64 kB of a refused body; a longer one finds the connection shut


class RequestIdMiddleware:
    """Gives every request a number, which stands in the log, in the answer and on error pages."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.id = secrets.token_hex(6)
        token = current_request.set(request)
        try:
            response = self.get_response(request)
        finally:
            current_request.reset(token)
        response["X-Request-ID"] = request.id
        return response


class CacheMiddleware:
    """Data is kept by nobody (`no-store`; RFC 9111, 5.2.2.5), so that who comes to the device next, or
    reads its disk, finds none. An answer that says how it may be kept, as files and papers do whose
    browser asks again by their validators, is kept by that browser alone (`private`)."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        response.headers.setdefault("Cache-Control", "no-store")
        if "no-store" not in response["Cache-Control"]:
            patch_cache_control(response, private=True)
        return response


class SignInRequiredMiddleware(LoginRequiredMiddleware):
    """Whoever has not signed in is led to do so; a piece of a page that a script asks for says so,
    and what is on the page stays there."""

    def process_view(self, request, view_func, view_args, view_kwargs):
        if not getattr(view_func, "login_required", True):
            return None  # Django would ask the database who it is all the same
        return super().process_view(request, view_func, view_args, view_kwargs)

    def handle_no_permission(self, request, view_func):
        if request.headers.get("HX-Request"):
            return HttpResponse(status=401, headers={"WWW-Authenticate": "Cookie"})
        return super().handle_no_permission(request, view_func)


class AccessMiddleware:
    """Refuses every page whose row in `PAGES` does not name the user's role, then every body that
    is larger than the page takes. Nothing of a body has been read before."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        page = request.resolver_match.view_name
        if not may_open(request.user, page):
            raise PermissionDenied
        if any(isinstance(value, int) and value > LARGEST for value in kwargs.values()):
            raise Http404  # no database counts so far
        if "HTTP_TRANSFER_ENCODING" in request.META:
            return _refused(
                request, 411, "The request did not give its length, so it was not read."
            )
        if page in TAKES_FILES:
            request.upload_handlers = [LimitedUploadHandler(request, TAKES_FILES[page])]
            return None
        limit = PUBLIC_BODY_LIMIT if PAGES[page] is PUBLIC else BODY_LIMIT
        if int(request.META.get("CONTENT_LENGTH") or 0) > limit:
            most = filesizeformat(limit)
            return _refused(request, 413, f"It is larger than the {most} that this page accepts.")
        return None


def _refused(request, status, why):
    """Say why in words, and throw away what a browser still sends: it reads no answer before."""
    for _ in range(MUCH_ELSE):
        if not request.read(1 << 16):
            break
    return render(request, "413.html", {"status": status, "why": why}, status=status)
