"""A form that was posted after the sign-in had ended is kept, and sent again by a press once its user
has signed in: with the number it had, so that it happens once."""

from django.http import HttpRequest
from django.middleware.csrf import CsrfViewMiddleware
from django.template.defaultfilters import capfirst

from sessions.editing.presses import FIELD
from studio.access import BODY_LIMIT, TAKES_FILES
from studio.logs import SECRET_FIELDS
from studio.models import User

KEPT = "form_not_sent"  # in the web session
TOKEN = "csrfmiddlewaretoken"  # noqa: S105 (the name of a field)
OF_THE_PAGE = {FIELD, "seen", "version", "next"}  # what nobody typed


def is_form(request: HttpRequest) -> bool:
    """Whether a page posts it, and shows what is answered: no script."""
    by_script = "HX-Request" in request.headers or "text/html" not in request.headers.get(
        "Accept", "text/html"
    )
    return request.method == "POST" and not by_script


def sent_form(request: HttpRequest) -> dict | None:
    """Where the form goes and what stands in it. None for what is kept nowhere: files, which are chosen
    again, passwords, what is too long, and what no page of ours sent."""
    length = int(request.META.get("CONTENT_LENGTH") or 0)
    too_much = length > BODY_LIMIT or "HTTP_TRANSFER_ENCODING" in request.META
    if not is_form(request) or too_much or request.resolver_match.view_name in TAKES_FILES:
        return None
    # None where the token is right. The body is read here, of somebody who had signed in.
    if CsrfViewMiddleware(lambda request: None).process_view(request, lambda: None, (), {}):
        return None
    fields = [(name, value) for name, values in request.POST.lists() for value in values]
    if request.FILES or any(
        word in name for name, _ in fields for word in SECRET_FIELDS if name != TOKEN
    ):
        return None
    typed = [(name, value) for name, value in fields if name != TOKEN]
    return {"path": request.get_full_path(), "fields": typed}


def keep(request: HttpRequest, form: dict, user: User) -> None:
    request.session[KEPT] = form | {"user": user.pk}


def kept_form(request: HttpRequest) -> dict | None:
    """What the user posted, and has not sent again yet."""
    kept = request.session.get(KEPT)
    return kept if kept and kept["user"] == request.user.pk else None


def forget_sent(request: HttpRequest) -> None:
    """Once it is on its way again it waits no longer."""
    kept = request.method == "POST" and kept_form(request)
    if kept and kept["path"] == request.get_full_path():
        del request.session[KEPT]


def forget_of_others(request: HttpRequest, user: User) -> None:
    """Whoever signs in here now is not shown what somebody else had typed."""
    kept = request.session.get(KEPT)
    if kept and kept["user"] != user.pk:
        del request.session[KEPT]


def typed_in(form: dict) -> list[tuple[str, str]]:
    """What somebody typed or chose, as its page names it, as near as a field's name tells."""
    return [
        (capfirst(name.replace("_", " ").replace("-", " ")), value)
        for name, value in form["fields"]
        if value.strip() and name not in OF_THE_PAGE
    ]
