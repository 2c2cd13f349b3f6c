"""On which devices somebody is signed in: Django's web sessions, and whose they are."""

import re
from datetime import datetime
from importlib import import_module
from uuid import uuid4

from django.conf import settings
from django.contrib.sessions.base_session import AbstractBaseSession, BaseSessionManager
from django.db import models
from django.http import HttpRequest
from django.utils import timezone

# The first that is found in what a browser says of itself: most also name those they descend from.
BROWSERS = {
    r"\bEdgA?\b|EdgiOS": "Edge",
    r"\bOPR\b": "Opera",
    r"SamsungBrowser": "Samsung Internet",
    r"Firefox|FxiOS": "Firefox",
    r"Chrome|Chromium|CriOS": "Chrome",
    r"Safari": "Safari",
}
SYSTEMS = {
    r"iPad": "an iPad",
    r"iPhone": "an iPhone",
    r"Android(?!.*Mobile)": "an Android tablet",
    r"Android": "an Android phone",
    r"Windows": "Windows",
    r"Macintosh|Mac OS X": "a Mac",
    r"CrOS": "a Chromebook",
    r"Linux|X11": "Linux",
}


class SignedInQuerySet(models.QuerySet):
    def standing(self, now: datetime):
        """Of people, the last used first; those that only wait for a code are nobody's yet."""
        return self.filter(expire_date__gt=now).exclude(user=None).order_by("-used_at", "number")

    def end(self, *, but: str | None = None) -> int:
        """Sign out everywhere, `but` in the session of that key; how many there were."""
        return self.exclude(session_key=but).delete()[0] if but else self.delete()[0]


class SignedIn(AbstractBaseSession):
    """A web session (`studio/session_store.py`). Its key is the secret in the browser's cookie, so a
    page names it by its `number`."""

    number = models.UUIDField(default=uuid4, unique=True, editable=False)
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.CASCADE, null=True, related_name="signed_in"
    )
    signed_in_at = models.DateTimeField(default=timezone.now)
    signed_in_from = models.CharField(max_length=45, blank=True, help_text="The network address.")
    used_at = models.DateTimeField(
        default=timezone.now, help_text="Written at most once a minute, see signing_in/limits.py."
    )
    used_from = models.CharField(max_length=45, blank=True)
    browser = models.CharField(
        max_length=255, blank=True, help_text="What the browser says of itself."
    )

    objects = BaseSessionManager.from_queryset(SignedInQuerySet)()

    class Meta(AbstractBaseSession.Meta):
        pass

    def __str__(self) -> str:
        return device_in_words(self.browser)

    @classmethod
    def get_session_store_class(cls):
        return import_module(settings.SESSION_ENGINE).SessionStore


def browser_of(request: HttpRequest) -> str:
    """What the browser that asks says of itself, as there is room for it and PostgreSQL takes it."""
    return request.headers.get("User-Agent", "")[:255].replace("\0", "")


def device_in_words(browser: str) -> str:
    """As people would call it, “Firefox on Windows”: good enough to tell one's own devices apart."""
    program = _first_of(BROWSERS, browser)
    system = _first_of(SYSTEMS, browser)
    if not program and not system:
        return "A device that does not say what it is"
    return f"{program or 'A browser'} on {system or 'an unknown system'}"


def _first_of(words: dict[str, str], browser: str) -> str:
    return next((word for sign, word in words.items() if re.search(sign, browser)), "")
