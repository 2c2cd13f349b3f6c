"""The studio as it is served in production: gunicorn with whitenoise, and somebody who signs in to it.

Talks to 127.0.0.1 only.
"""

import http.client
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlencode

from django.urls import reverse

HOST = "127.0.0.1"
PASSWORD = "lantern-over-the-quay"  # noqa: S105 (of databases that are made and dropped)
PATIENCE = 60  # seconds until gunicorn must answer
WORKERS, THREADS = 2, 4  # as README.md has it
IN_PRODUCTION = {"DJANGO_SETTINGS_MODULE": "studio.settings"}


def free_port() -> int:
    with socket.socket() as free:
        free.bind((HOST, 0))
        return free.getsockname()[1]


def collect_static() -> None:
    """As a studio does before it serves. What else is to be served goes to STATIC_ROOT after it."""
    subprocess.run(
        [sys.executable, "-m", "django", "collectstatic", "--noinput", "--verbosity", "0"],
        env=os.environ | IN_PRODUCTION,
        check=True,
    )


@contextmanager
def served(port: int) -> Iterator[None]:
    """At the end gunicorn is killed with all its workers, whatever they are doing."""
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "studio.wsgi", "--bind", f"{HOST}:{port}"]
        + ["--worker-class", "gthread", "--workers", str(WORKERS), "--threads", str(THREADS)]
        + ["--timeout", "120", "--log-level", "warning"],
        env=os.environ | IN_PRODUCTION,
        start_new_session=True,
    )
    try:
        yield
    finally:
        os.killpg(server.pid, signal.SIGKILL)
        server.wait()


def signed_in(port: int) -> dict[str, str]:
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
    form = {"username": "maren", "password": PASSWORD, "csrfmiddlewaretoken": cookies["csrftoken"]}
    status, cookies, page = ask(port, "POST", address, _as_headers(cookies), form)
    if status != 302:
        raise RuntimeError(f"Nobody could sign in: {status} {page[:200]}")
    return _as_headers(cookies)


def _as_headers(cookies: dict[str, str]) -> dict[str, str]:
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
        page = answer.read().decode()
        cookies = dict(
            line.split(";")[0].split("=", 1) for line in answer.headers.get_all("Set-Cookie", [])
        )
        return answer.status, cookies, answer.headers.get("Location") or page
    finally:
        connection.close()
