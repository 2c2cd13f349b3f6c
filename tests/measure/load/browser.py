"""Somebody's browser. What gets no answer is sent again as it was, until there is one: so does whoever
presses again after the line broke."""

import http.client
import random
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from threading import Thread
from typing import TypeVar
from urllib.parse import urljoin, urlsplit

from django.test import Client
from django.utils.crypto import get_random_string
from lxml import html

from tests.measure.web import as_headers, ask

AGAIN = 0.2  # seconds until it is sent again
PATIENCE = 300  # seconds until somebody gives up: a server must be back by then
AT_ONCE = 0.05  # of what is pressed is pressed twice at one moment

Fields = dict[str, object]
Answer = TypeVar("Answer")


class Unexpected(Exception):
    """An answer that nobody should get."""


class NotNow(OSError):
    """The studio says that it cannot at this moment, and saved nothing."""


@dataclass(frozen=True)
class Page:
    address: str
    status: int
    text: str

    def form(self, action: str = "", **typed) -> tuple[str, Fields]:
        """Where the page's form to `action` goes, and what a browser would send with it: what stands
        in it, and what was typed."""
        for form in html.fromstring(self.text).forms:
            to = urljoin(self.address, form.get("action") or self.address)
            if form.method.upper() == "POST" and urlsplit(to).path == (
                action or urlsplit(self.address).path
            ):
                sent: Fields = {}
                for name, value in form.form_values():
                    sent.setdefault(name, []).append(value)
                return to, sent | typed
        raise Unexpected(f"{self.address} has no form that goes to {action}")


@dataclass
class Browser:
    """`waits` are seconds by what was asked for, `pages` those of each address, `again` how often
    something was sent once more, and `at_once` how often twice at one moment."""

    port: int
    headers: dict[str, str]
    chance: random.Random
    waits: dict[str, list[float]] = field(default_factory=dict)
    pages: dict[str, list[float]] = field(default_factory=dict)
    again: int = 0
    at_once: int = 0

    @classmethod
    def of(cls, user, port: int, chance: random.Random) -> "Browser":
        """Signed in; without the sign-in page, whose hash takes long on purpose."""
        known = Client()
        known.force_login(user, backend="studio.backends.RoleBackend")
        cookies = {name: each.value for name, each in known.cookies.items()}
        cookies["csrftoken"] = get_random_string(32)
        return cls(port, as_headers(cookies), chance)

    def get(self, address: str, *, what: str = "pages", **headers) -> Page:
        """A page; where it leads elsewhere, that."""
        began, asked = time.monotonic(), address
        for _ in range(5):
            status, said = self.send("GET", address, what=what, headers=headers)
            if status not in (301, 302):
                break
            address = urljoin(address, said)
        if status not in (200, 202, 304, 405):  # the last where an address is only posted to
            raise Unexpected(f"GET {address} was answered {status}: {words(said)}")
        self.pages.setdefault(asked, []).append(time.monotonic() - began)
        return Page(address, status, said)

    def press(self, address: str, form: Fields, *, what: str) -> str:
        """Where the form leads that was sent; now and then it is pressed twice at one moment."""
        if self.chance.random() < AT_ONCE:
            self.at_once += 1
            Thread(target=self._unheard, args=(address, form), daemon=True).start()
        status, said = self.send("POST", address, what=what, form=form)
        if status != 302:
            raise Unexpected(f"{what}: POST {address} was answered {status}: {words(said)}")
        return urljoin(address, said)

    def send(
        self, method: str, address: str, *, what: str, headers=None, form=None
    ) -> tuple[int, str]:
        """Status and page, or where it leads; `form` may be a function that gives what is sent now."""
        return self.insist(
            lambda: self._once(method, address, headers, form() if callable(form) else form), what
        )

    def insist(self, send: Callable[[], Answer], what: str) -> Answer:
        """An answer at last. Only the time that it took itself counts."""
        until = time.monotonic() + PATIENCE
        while True:
            began = time.monotonic()
            try:
                answer = send()
            except (OSError, http.client.HTTPException) as error:
                if time.monotonic() > until:
                    raise Unexpected(f"{what}: no answer for {PATIENCE} s: {error!r}") from error
                self.again += 1
                time.sleep(AGAIN)
                continue
            self.waits.setdefault(what, []).append(time.monotonic() - began)
            return answer

    def _unheard(self, address: str, form: Fields) -> None:
        with suppress(OSError, http.client.HTTPException):
            self._once("POST", address, {}, form)

    def _once(self, method, address, headers, form) -> tuple[int, str]:
        """Raises NotNow for a page that asks to be sent again, which nobody has to do by hand here."""
        status, _, said = ask(self.port, method, address, self.headers | (headers or {}), form)
        if status == 503:
            raise NotNow(words(said))
        return status, said


def words(page: str) -> str:
    """What a page says, shortly: its errors first."""
    if "<" not in page:
        return page[:200]
    tree = html.fromstring(page)
    said = tree.xpath("//*[contains(@class, 'error') or contains(@class, 'message')] | //h1")
    return " | ".join(" ".join(each.text_content().split()) for each in said)[:400]
