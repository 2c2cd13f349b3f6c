"""What machines ask: a proxy whether this process lives and may be given work, a monitor for figures.

Nobody signs in to them, and they go without HTTPS within the house (`SECURE_REDIRECT_EXEMPT`).
"""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils.crypto import constant_time_compare
from django.views.decorators.http import require_safe
from prometheus_client.openmetrics.exposition import CONTENT_TYPE_LATEST

from studio.watching.figures import as_text
from studio.watching.readiness import parts


@require_safe
@login_not_required
def health(request: HttpRequest) -> HttpResponse:
    """Whether this process answers at all: asks nothing of the database."""
    return HttpResponse("alive\n", content_type="text/plain")


@require_safe
@login_not_required
def ready(request: HttpRequest) -> HttpResponse:
    """Whether everything that the work needs is there; 503 where a part is not."""
    by_part = parts()
    is_ready = all(by_part.values())
    return JsonResponse({"ready": is_ready, "parts": by_part}, status=200 if is_ready else 503)


@require_safe
@login_not_required
def metrics(request: HttpRequest) -> HttpResponse:
    """Only for who brings `METRICS_TOKEN` (RFC 6750, 2.1); without one there is no such page."""
    if not settings.METRICS_TOKEN:
        raise Http404
    scheme, _, token = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not constant_time_compare(token, settings.METRICS_TOKEN):
        refused = HttpResponse("A bearer token is needed.\n", status=401, content_type="text/plain")
        refused["WWW-Authenticate"] = 'Bearer realm="metrics"'
        return refused
    return HttpResponse(as_text(), content_type=CONTENT_TYPE_LATEST)
