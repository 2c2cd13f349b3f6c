"""Hostile files sent to the studio as it is served: each refused or read in time, and the server as
large afterwards as before."""

import http.client
import os
import random
import re
import uuid
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from html import unescape
from pathlib import Path

from django.core.management import call_command
from django.db import connections
from django.urls import reverse

from sessions.recall.models import ImportedSheet
from studio.roles import Role
from tests.factories import UserFactory
from tests.measure.web import HOST, PATIENCE, ask, served, signed_in
from tests.sessions.recall.imported.hostile import KINDS, hostile

MOST_SECONDS, MOST_MB = 2.0, 50  # of computing, as on a machine that has nothing else to do
WARM = 2 * len(KINDS)  # files before the server has everything in memory that it needs
REFUSAL = re.compile(r'class="errorlist"[^>]*>(.*?)</', re.S)


@dataclass
class Verdict:
    read: int = 0
    refused: int = 0
    slowest: float = 0
    grown_mb: float = 0
    wrong: list[str] = field(default_factory=list)

    @property
    def holds(self) -> bool:
        return not self.wrong and abs(self.grown_mb) < MOST_MB

    def __str__(self) -> str:
        return (
            f"read             {self.read}\nrefused          {self.refused}\n"
            f"slowest          {self.slowest:.2f} s of computing\na process grew by {self.grown_mb:.0f} MB at most\n"
            f"wrong            {self.wrong}\nholds            {self.holds}"
        )


def import_hostile(count: int, seed: int) -> Verdict:
    call_command("collectstatic", interactive=False, verbosity=0)
    UserFactory(username="odile", role=Role.MANAGER)
    connections.close_all()  # the server opens its own
    verdict = Verdict()
    with served() as (port, _):
        headers = signed_in(port)
        for warm in range(WARM):
            _import(port, headers, *hostile(warm), Verdict())
        before = _held_mb(port)
        first = random.Random(seed).randrange(10**6)
        for each in range(first, first + count):
            what, content = hostile(each)
            _import(port, headers, f"{each}, {what}", content, verdict)
        after = _held_mb(port)
        verdict.grown_mb = max(after[process] - before[process] for process in before)
    return verdict


def _import(port: int, headers: dict, what: str, content: bytes, verdict: Verdict) -> None:
    since = _computed(port)
    status, to, page = _post(port, headers, content)
    took = _computed(port) - since
    verdict.slowest = max(verdict.slowest, took)
    if took > MOST_SECONDS:
        verdict.wrong.append(f"{what}: {took:.1f} s")
    if status == 302:
        verdict.read += 1
        status, _, page = ask(port, "GET", to, headers)
        if status != 200:
            verdict.wrong.append(f"{what}: its page answers {status}")
        ImportedSheet.objects.all().delete()
    elif status == 422 and "." in unescape("".join(REFUSAL.findall(page))):
        verdict.refused += 1
    else:
        verdict.wrong.append(f"{what}: {status}, {page[:100]!r}")


def _processes(port: int) -> Iterator[Path]:
    """Of the server: their folders."""
    for folder in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):  # it ended meanwhile
            if f":{port}".encode() in (folder / "cmdline").read_bytes():
                yield folder


def _held_mb(port: int) -> dict[str, float]:
    """What each process that serves holds in memory."""
    held = {
        folder.name: re.search(r"VmRSS:\s*(\d+)", (folder / "status").read_text())
        for folder in _processes(port)
    }
    return {process: int(found[1]) / 1024 for process, found in held.items()}


def _computed(port: int) -> float:
    """Seconds that the server and the processes that it waited for have computed."""
    facts = [
        (folder / "stat").read_text().rpartition(")")[2].split() for folder in _processes(port)
    ]
    return sum(int(ticks) for each in facts for ticks in each[11:15]) / os.sysconf("SC_CLK_TCK")


def _post(port: int, headers: dict, content: bytes) -> tuple[int, str, str]:
    boundary = uuid.uuid4().hex
    head = f'--{boundary}\r\nContent-Disposition: form-data; name="file"; filename="recall.pdf"\r\n\r\n'
    body = head.encode() + content + f"\r\n--{boundary}--\r\n".encode()
    kind = {"Content-Type": f"multipart/form-data; boundary={boundary}"}
    connection = http.client.HTTPConnection(HOST, port, timeout=PATIENCE)
    try:
        connection.request("POST", reverse("imported:list"), body, headers | kind)
        answer = connection.getresponse()
        return answer.status, answer.headers.get("Location", ""), answer.read().decode()
    finally:
        connection.close()
