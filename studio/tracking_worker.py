from pathlib import Path

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

WORKER = Path(__file__).parent / "static" / "studio" / "js" / "tracking_worker.js"


@require_safe
@login_not_required
def tracking_worker(request: HttpRequest) -> HttpResponse:
    """The tracking page's service worker, at the root: a browser lets one answer only for addresses
    below its own. Kept by nobody, as all pages, so that an upgrade reaches every device."""
    return HttpResponse(WORKER.read_bytes(), content_type="text/javascript")
