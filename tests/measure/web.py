"""The studio as it is served in production, by gunicorn, and somebody who signs in to it.

Talks to 127.0.0.1 only.
"""

import http.client
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlencode

from django.urls import reverse

from sessions.tasks.models import DEFAULT
from tests.factories import PASSWORD

HOST = "127.0.0.1"
PATIENCE = 60  # seconds until gunicorn must answer
CONF = Path(__file__).resolve().parents[2] / "studio" / "serving" / "gunicorn.conf.py"


@contextmanager
def served() -> Iterator[tuple[int, Callable[[], None]]]:
    """Its port, and what kills it with all its workers, whatever they are doing: at the end it is
    killed anyway."""
    port = free_port()
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "studio.wsgi", "-c", CONF, "--bind", f"{HOST}:{port}"]
        + ["--log-level", "warning"],
        start_new_session=True,
    )

    def kill() -> None:
        if server.poll() is None:
            os.killpg(server.pid, signal.SIGKILL)
            server.wait()

    try:
        yield port, kill
    finally:
        kill()


@contextmanager
def working(queue: str = DEFAULT) -> Iterator[subprocess.Popen]:
    """A worker beside the server, killed at the end."""
    worker = subprocess.Popen([sys.executable, "-m", "django", "work", "--queue", queue])
    try:
        yield worker
    finally:
        worker.kill()
        worker.wait()


def memory_mb(command: str) -> float:
    """What the processes hold together whose command lines have this in them."""
    held = 0
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            if command.encode() in (folder / "cmdline").read_bytes().replace(b"\0", b" "):
                status = (folder / "status").read_text()
                held += int(re.search(r"VmRSS:\s*(\d+)", status)[1])
        except (OSError, TypeError):  # it ended meanwhile
            continue
    return held / 1024


def free_port() -> int:
    with socket.socket() as free:
        free.bind((HOST, 0))
        return free.getsockname()[1]


def signed_in(port: int, username: str = "odile") -> dict[str, str]:
    """The headers of somebody who came in through the sign-in page, as a browser would send them."""
    address = reverse("login")
    until = time.monotonic() + PATIENCE
    while True:
        try:
            _, cookies, _ = ask(port, "GET", address)
            break
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.2)
    form = {"username": username, "password": PASSWORD, "csrfmiddlewaretoken": cookies["csrftoken"]}
    status, cookies, page = ask(port, "POST", address, as_headers(cookies), form)
    if status != 302:
        raise RuntimeError(f"Nobody could sign in: {status} {page[:200]}")
    return as_headers(cookies)


def as_headers(cookies: dict[str, str]) -> dict[str, str]:
    return {
        "Cookie": "; ".join(f"{name}={value}" for name, value in cookies.items()),
        "X-CSRFToken": cookies["csrftoken"],
    }


def ask(port: int, method: str, address: str, headers=None, form=None):
    """Status, new cookies, and the page; for a redirect, where to."""
    connection = http.client.HTTPConnection(HOST, port, timeout=PATIENCE)
    try:
        body = urlencode(form, doseq=True) if form else None
        typed = {"Content-Type": "application/x-www-form-urlencoded"} if form else {}
        connection.request(method, address, body, typed | (headers or {}))
        answer = connection.getresponse()
        page = answer.read()
        cookies = dict(
            line.split(";")[0].split("=", 1) for line in answer.headers.get_all("Set-Cookie", [])
        )
        return (
            answer.status,
            cookies,
            answer.headers.get("Location") or page.decode(errors="replace"),
        )
    finally:
        connection.close()
