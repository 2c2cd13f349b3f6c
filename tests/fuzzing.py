"""Crafted requests to every page and by every form. Whatever is sent, no answer is a 500, and none leaks: how the
program or the machine looks inside, a secret, another’s project, or what was sent as a script (OWASP Web
Security Testing Guide, 4.8).

fuzz(count, seed)            on the database at hand, which is as before afterwards
python -m tests.measure long fuzz --count 20000 --seed 7
"""

import logging
import random
import re
import traceback
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import parse_qsl, quote_plus, urlencode, urlsplit

from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.files.uploadedfile import SimpleUploadedFile, UploadedFile
from django.core.signals import got_request_exception
from django.db import transaction
from django.test import Client, TestCase
from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart
from django.urls import NoReverseMatch, reverse
from lxml import html

from studio.access import PAGES, PUBLIC
from studio.roles import Role
from tests.crafted import HEADERS, ODD, RAW, ROOT, USUAL, Form, names_in_code, page_of, read_form
from tests.factories import PersonFactory, ProjectFactory, SongFactory, UserFactory
from tests.studio.every_page import FURTHER, ROW, routes, rows_of

ANOTHERS = "Kept From Others"  # of a project that names no mix engineer
SCRIPT = "<script>oakum"
SLOW = re.compile(r"pdf|confirmation|call_sheet|tone$|upload")  # pages that take a second or so


@dataclass(frozen=True)
class Failure:
    where: str
    error: str
    request: str

    def __str__(self) -> str:
        return f"{self.where}: {self.error}\n    {self.request}"


@dataclass
class Fuzzed:
    count: int
    seed: int
    statuses: dict[int, int] = field(default_factory=lambda: defaultdict(int))
    failures: dict[str, Failure] = field(default_factory=dict)

    @property
    def holds(self) -> bool:
        return not self.failures

    def __str__(self) -> str:
        answers = ", ".join(f"{n} of {status}" for status, n in sorted(self.statuses.items()))
        failed = "".join(f"\n{failure}" for failure in self.failures.values())
        return f"{self.count} crafted requests (seed {self.seed}): {answers}{failed}"


def fuzz(count: int, seed: int) -> Fuzzed:
    """Send so many requests, drawn by the seed. All that they change is rolled back."""
    fuzzed = Fuzzed(count, seed)
    with transaction.atomic(), quiet():
        fuzzer = Fuzzer(random.Random(seed))
        for _ in range(count):
            fuzzer.ask(fuzzed)
        transaction.set_rollback(True)
    return fuzzed


@contextmanager
def quiet() -> Iterator[None]:
    """Nothing of thousands of refusals in the log."""
    logging.disable()
    try:
        yield
    finally:
        logging.disable(logging.NOTSET)


class Fuzzer:
    def __init__(self, chance: random.Random):
        self.chance, self.errors = chance, []
        project = ProjectFactory()
        self.clients = {}
        for role in Role:
            user = UserFactory(role=role)
            project.mix_engineers.add(PersonFactory(user=user))
            self.clients[role] = Client(raise_request_exception=False, SERVER_NAME="localhost")
            self.clients[role].force_login(user, backend="studio.backends.RoleBackend")
        kept = ProjectFactory(name=ANOTHERS, client__name=ANOTHERS)
        SongFactory(project=kept, title=ANOTHERS)
        self.secrets = self._secrets()
        self.stranger = Client(raise_request_exception=False, SERVER_NAME="localhost")
        self.rows = rows_of(project)
        left_out = ("logout", "ready")  # that one says 503 where no worker is there
        self.pages = [page for page in routes() if page in PAGES and page not in left_out]
        self.posted = set()  # pages that are only posted to
        self.forms, self.links = self._seen_on_pages()
        self.names = sorted(
            names_in_code() | {name for names in self.links.values() for name in names}
        )
        got_request_exception.connect(self._note)

    def _secrets(self) -> list[str]:
        hashes = get_user_model().objects.values_list("password", flat=True)
        inside = ["Traceback (most recent call last)", f"{ROOT}/", "site-packages"]
        return [*inside, str(settings.SECRET_KEY), *hashes, SCRIPT]

    def _leaked(self, role: Role, page: str, answer) -> str | None:
        """What an answer shows that nobody, or not this role, may see."""
        if answer.streaming or not answer.headers.get("Content-Type", "").startswith("text/"):
            return None
        text = answer.content.decode(errors="replace")
        if SCRIPT in text and not answer.headers["Content-Type"].startswith("text/html"):
            text = text.replace(SCRIPT, "")
        anothers = [ANOTHERS] if role is Role.MIX_ENGINEER and PAGES[page] is not PUBLIC else []
        return next((secret for secret in [*self.secrets, *anothers] if secret in text), None)

    def _note(self, **signal) -> None:
        self.errors.append(traceback.format_exc().strip().splitlines())

    def _seen_on_pages(self) -> tuple[dict[str, list[Form]], dict[str, list[str]]]:
        """The forms that lead to each page, and the parameters of links to it."""
        forms, links = defaultdict(list), defaultdict(list)
        for page in self.pages:
            address = self._address(page, odd=False)
            answer = self.clients[Role.MANAGER].get(address)
            if answer.status_code == 405:
                self.posted.add(page)
            if answer.streaming:
                b"".join(answer.streaming_content)  # read to its end, a file is closed
            if not answer.headers.get("Content-Type", "").startswith("text/html"):
                continue
            tree = html.fromstring(answer.content or b"<p>")
            for form in (read_form(found, address) for found in tree.forms):
                if form not in forms[page_of(form.address)]:
                    forms[page_of(form.address)].append(form)
            for element in tree.xpath("//*[@href or @hx-get]"):
                link = urlsplit(element.get("href") or element.get("hx-get"))
                if link.query:
                    links[page_of(link.path or address)] += dict(parse_qsl(link.query))
        return forms, links

    def _address(self, page: str, *, odd: bool) -> str:
        """An address of the page: of a row that is there or, if `odd`, sometimes of none."""
        chance, held = self.chance, {}
        if page in ROW:
            held["pk"] = self.rows[ROW[page]].pk
            if odd and chance.random() < 0.08:
                held["pk"] = chance.choice([0, 2**31, 2**63 - 1, 2**63, 10**20])
        usual = FURTHER.get(page, {})
        bent = {name: chance.choice(ODD) for name in usual if odd and chance.random() < 0.2}
        try:
            return reverse(page, kwargs=held | usual | bent)
        except NoReverseMatch:  # such an address is not even one
            return reverse(page, kwargs=held | usual)

    def ask(self, fuzzed: Fuzzed) -> None:
        """One step: a page or a form, bent; a form now and then twice, as if pressed twice."""
        chance = self.chance
        page = chance.choice(self.pages)
        while SLOW.search(page) and chance.random() < 0.9:
            page = chance.choice(self.pages)
        role = chance.choice([Role.MANAGER] * 5 + [*Role])
        client = self.stranger if PAGES[page] is PUBLIC else self.clients[role]
        method, address, sent, headers = self._bent(page)
        times = 2 if chance.random() < 0.05 else 1
        with transaction.atomic():
            for _ in range(times):
                self.errors.clear()
                answer = self._send(client, method, address, sent, headers)
                status = answer.status_code
                fuzzed.statuses[status] += 1
                if leaked := self._leaked(role, page, answer):
                    request = f"{role} {method} {address} {_shown(sent)} {headers or ''}"
                    failure = Failure(page, f"it leaks {leaked}", request[:1500])
                    fuzzed.failures.setdefault(f"{page} leaks {leaked}", failure)
                if status >= 500 or self.errors:
                    lines = self.errors[0] if self.errors else [f"answered {status}"]
                    where = _last_of_ours(lines)
                    request = f"{role} {method} {address} {_shown(sent)} {headers or ''}"
                    failure = Failure(f"{page} in {where}", lines[-1], request[:1500])
                    fuzzed.failures.setdefault(f"{where} {lines[-1].split(':')[0]}", failure)
            transaction.set_rollback(True)

    def _send(self, client, method, address, sent, headers):
        how = dict(headers)
        body, content_type = encode_multipart(BOUNDARY, sent), MULTIPART_CONTENT
        if not any(isinstance(value, UploadedFile) for values in sent.values() for value in values):
            body, content_type = urlencode(sent, doseq=True), "application/x-www-form-urlencoded"
        if "Content-Type" in how:
            content_type = how.pop("Content-Type")
            body = self.chance.choice([body, "", "[]", '{"a": "\\ud800"}', "[" * 9000, "--b"])
        if method in ("GET", "HEAD", "OPTIONS"):
            body, content_type = "", ""
        with TestCase.captureOnCommitCallbacks(execute=True):
            answer = client.generic(method, address, body, content_type, headers=how)
        if answer.streaming:
            try:
                b"".join(answer.streaming_content)
            except Exception:
                self.errors.append(traceback.format_exc().strip().splitlines())
        return answer

    def _bent(self, page: str):
        """Method, address with its query, fields and headers of a request to the page."""
        chance = self.chance
        address, headers, sent = self._address(page, odd=True), {}, {}
        forms = self.forms.get(page, [])
        posts = [form for form in forms if form.method == "post"]
        if page in self.posted or (posts and chance.random() < 0.6):
            method = "POST"
            if posts:
                form = chance.choice(posts)
                sent = self._filled(form)
                if urlsplit(form.address).path == urlsplit(address).path or chance.random() < 0.7:
                    address = form.address
            self._bend(sent, chance.choice([0, 1, 1, 1, 2, 3]))
        else:
            method = "GET"
            query = {}
            gets = [form for form in forms if form.method == "get"]
            if gets and chance.random() < 0.8:
                query = self._filled(chance.choice(gets))
            for _ in range(chance.choice([0, 1, 2])):
                names = chance.choice([self.links.get(page), USUAL, self.names]) or USUAL
                name = chance.choice(names)
                query[name] = [self._odd()]
            self._bend(query, chance.choice([0, 1, 2]))
            address += "?" * ("?" not in address) + _encoded(query, chance)
        if chance.random() < 0.03:
            method = chance.choice(["HEAD", "PUT", "DELETE", "OPTIONS", "PATCH", "POST", "GET"])
        if chance.random() < 0.08:
            name = chance.choice(list(HEADERS))
            headers[name] = chance.choice(HEADERS[name])
        return method, address, sent, headers

    def _filled(self, form: Form) -> dict[str, list]:
        """What a browser would send: now and then another choice than the page has."""
        chance, sent = self.chance, defaultdict(list)
        for name, values in form.fields:
            if values:
                sent[name].append(values[0] if chance.random() < 0.6 else chance.choice(values))
            elif chance.random() < 0.7:
                sent[name].append(chance.choice(["", "1", "2", "10", "Rope and tar", "2026-11-27"]))
        return sent

    def _bend(self, sent: dict[str, list], times: int) -> None:
        chance = self.chance
        for _ in range(times):
            name = (
                chance.choice(list(sent))
                if sent and chance.random() < 0.9
                else chance.choice(self.names)
            )
            how = chance.random()
            if how < 0.12:
                sent.pop(name, None)
            elif how < 0.2:
                sent.setdefault(name, []).append(self._odd())
            elif how < 0.3 and sent.get(name):
                sent[name] = [f"{sent[name][0]}{self._odd()}"]
            elif how < 0.33:
                sent[name] = [
                    SimpleUploadedFile(
                        chance.choice(["a", "é" * 300, "a.wav", "a.pdf"]), self._odd().encode()
                    )
                ]
            elif how < 0.36:
                sent[f"{name}{chance.choice(['[]', '-0', chr(0), '__in'])}"] = [self._odd()]
            else:
                sent[name] = [self._odd()]

    def _odd(self) -> str:
        chance = self.chance
        if chance.random() < 0.15:
            return str(chance.choice(list(self.rows.values())).pk)
        if chance.random() < 0.1:
            return str(chance.choice([-1, 1]) * chance.randrange(10 ** chance.randrange(1, 30)))
        return chance.choice(ODD)


def _encoded(query: dict[str, list], chance: random.Random) -> str:
    pairs = [
        f"{quote_plus(name)}={chance.choice(RAW) if chance.random() < 0.05 else quote_plus(str(value))}"
        for name, values in query.items()
        for value in values
        if isinstance(value, str)
    ]
    return "&".join(pairs)


def _last_of_ours(lines: list[str]) -> str:
    """The last line of the project in a traceback."""
    ours = [
        line
        for line in lines
        if f'"{ROOT}/' in line and ".venv" not in line and "/tests/" not in line
    ]
    found = re.search(r'"(.*?)", line (\d+)', ours[-1]) if ours else None
    return f"{Path(found[1]).relative_to(ROOT)}:{found[2]}" if found else "no line of ours"


def _shown(sent: dict) -> str:
    return repr(dict(sent))
