"""What is answered while the database or the disk is held, full, read-only or away: a page of its own
with 503, from which what was typed is sent again by one press, under the same number.

The page asks the database nothing.
"""

import logging
import sys

from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import BadRequest, SuspiciousOperation
from django.http import HttpRequest, HttpResponse, UnreadablePostError
from django.http.multipartparser import MultiPartParserError
from django.template.loader import render_to_string
from django.views.defaults import server_error

from sessions.unavailable import Unavailable, unavailable
from studio.access import BODY_LIMIT
from studio.logs import SECRET_FIELDS

RETRY_AFTER = 10  # seconds
READS = {"GET", "HEAD", "OPTIONS"}
UNREADABLE = (BadRequest, MultiPartParserError, OSError, SuspiciousOperation, UnreadablePostError)

logger = logging.getLogger(__name__)


def error_page(request: HttpRequest) -> HttpResponse:
    """The answer to an error that no view caught (`handler500`)."""
    error = sys.exc_info()[1]
    why = unavailable(error)
    return not_now(request, why, error) if why else server_error(request)


def not_now(request: HttpRequest, why: Unavailable, error: BaseException | None = None):
    """503, and in words why. Its text needs no user, whose row may be what cannot be had."""
    logger.warning("Answered 503 (%s): %s", why, error or "others wait to write")
    known = getattr(request, "_cached_user", None)  # where Django has read it already
    reader = AnonymousUser()
    reader.theme = getattr(known, "theme", "")
    context = {
        "why": why.value,
        "posted": request.method not in READS,
        "typed": _typed(request),
        "address": request.get_full_path(),
        "house": getattr(known, "studio_name", "") or settings.STUDIO_NAME,
        "user": reader,
    }
    page = render_to_string("503.html", context)
    answer = HttpResponse(page, status=503, headers={"Retry-After": RETRY_AFTER})
    answer._has_been_logged = True  # in one line: Django would log, and mail, a traceback of each
    return answer


def _typed(request: HttpRequest) -> dict | None:
    """The fields of a form that can be sent again from here, and the names of its files, which must
    be chosen again. Not of one that holds a secret, is too long, or was no form."""
    if request.method != "POST" or int(request.META.get("CONTENT_LENGTH") or 0) > BODY_LIMIT:
        return None
    try:
        fields = [(name, text) for name, texts in request.POST.lists() for text in texts]
    except UNREADABLE:
        return None
    # Django's token is sent again as it was posted, so that a forged form stays one.
    names = {name for name, _ in fields} - {"csrfmiddlewaretoken"}
    if not names or any(word in name for name in names for word in SECRET_FIELDS):
        return None
    return {"fields": fields, "files": sorted(request.FILES)}
