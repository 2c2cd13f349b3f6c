"""The door behind every secret link."""

from collections.abc import Callable
from functools import wraps

from axes.helpers import get_client_ip_address
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from sessions.links.models import COUNTED_FOR, SecretLink, WrongGuess, hash_of
from sessions.unavailable import if_nobody_waits


def opened_by(links: type[SecretLink], *, ended: Callable | None = None) -> Callable:
    """Hands a view the link whose `token` stands in its address; nobody signs in.

    Unknown, revoked, expired and misspelt addresses are all simply not there; `ended` is a view for
    one that did open once. Where too many that never were have been tried from one place, no more are
    counted for it for a while; a right one opens, or whoever guesses would keep others in the same house
    from theirs. Guessing one is out of reach (`TOKEN_BYTES`).
    """

    def behind_the_door(view: Callable) -> Callable:
        @login_not_required
        @wraps(view)
        def opened(request: HttpRequest, token: str, **kwargs) -> HttpResponse:
            now, client = timezone.now(), get_client_ip_address(request) or ""
            named = {"token_hash": hash_of(token)}
            if link := links.objects.standing(now).filter(**named).first():
                response = view(request, link, **kwargs)
                with if_nobody_waits():
                    link.note_use(now)
            elif link := links.objects.filter(**named).first():
                if ended is None:
                    raise Http404
                response = ended(request, link)
            elif WrongGuess.objects.too_many(client, now):
                return _wait()
            else:
                WrongGuess.objects.create(client=client, at=now)
                raise Http404
            # Where a page of it leads to is told the house at most. Without any referrer browsers
            # say of what is posted that it comes from nowhere, and it would be refused.
            response["Referrer-Policy"] = "strict-origin"
            response["X-Robots-Tag"] = "noindex"
            return response

        return opened

    return behind_the_door


def _wait() -> HttpResponse:
    return HttpResponse(
        "Too many wrong addresses were tried from here. Try again in 15 minutes.",
        status=429,
        content_type="text/plain; charset=utf-8",
        headers={"Retry-After": int(COUNTED_FOR.total_seconds())},
    )
