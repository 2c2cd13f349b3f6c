"""What the log says of a request: its number, who asked and for what, and never a secret."""

import logging
from contextvars import ContextVar

from django.core.mail import mail_admins
from django.http import HttpRequest
from django.urls import Resolver404, resolve
from django.utils.encoding import escape_uri_path

current_request = ContextVar("current_request", default=None)
SECRET_FIELDS = ("password", "token", "secret", "code")


def request_id() -> str:
    request = current_request.get()
    return request.id if request else "-"


class RequestFormatter(logging.Formatter):
    """One line, then the traceback: time, level, logger, request, user's key, address, message."""

    def __init__(self):
        line = "{asctime} {levelname} {name} request={request_id} user={user} {address} {message}"
        super().__init__(line, datefmt="%Y-%m-%d %H:%M:%S%z", style="{")

    def format(self, record: logging.LogRecord) -> str:
        request = _request_of(record)
        if record.name == "django.server":
            record.args = tuple(map(_without_secret_path, record.args))
        record.request_id, record.user, record.address = "-", "-", "-"
        if request:
            record.request_id = request.id
            record.address = f"{request.method} {public_path(request.path)}"
            # Only where Django has read the user already: the database may be what failed.
            record.user = getattr(getattr(request, "_cached_user", None), "pk", None) or "-"
        text = super().format(record)
        for secret, shown in _secrets(request).items() if request else ():
            text = text.replace(secret, shown)
        return text


def _request_of(record: logging.LogRecord) -> HttpRequest | None:
    """Django gives its own records the request, some of them when it has left the middleware."""
    given = getattr(record, "request", None)
    return given if hasattr(given, "id") else current_request.get()


def _secrets(request) -> dict[str, str]:
    """What a log may not hold of a request, and what stands there instead."""
    path = request.path.encode("unicode_escape").decode()  # as Django's own records have it
    match = request.resolver_match
    values = [match.kwargs["token"]] if match and "token" in match.kwargs else []
    values += request.COOKIES.values()
    if hasattr(request, "_post"):  # read already: a log reads no body
        posted = request.POST.items()
        values += [text for name, text in posted if any(word in name for word in SECRET_FIELDS)]
    return {path: public_path(request.path)} | {text: "…" for text in values if len(text) > 3}


def public_path(path: str) -> str:
    """A path as it may stand in a log: without the token of a secret address, and of what is no
    address here only the beginning, since it may be a secret one mistyped."""
    try:
        token = resolve(path).kwargs.get("token")
    except Resolver404:
        first, rest = path[1:].partition("/")[::2]
        return f"/{escape_uri_path(first)}/…" if rest else escape_uri_path(path)
    return escape_uri_path(path.replace(token, "-") if token else path)


def _without_secret_path(part) -> str:
    """The same of the words of a request line, `GET /path?query HTTP/1.1`."""
    words = str(part).split(" ")
    return " ".join(public_path(word.split("?")[0]) if word[:1] == "/" else word for word in words)


class AdminMail(logging.Handler):
    """Mails what the log says to `ADMINS`; Django's own mail would hold all that was posted."""

    def emit(self, record: logging.LogRecord) -> None:
        request = _request_of(record)
        subject = f"Error in request {request.id}" if request else f"Error in {record.name}"
        mail_admins(subject, self.format(record), fail_silently=True)
