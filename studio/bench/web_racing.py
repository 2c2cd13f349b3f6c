"""The race through the web: gunicorn with the whole application, and clients that post its form.

Talks to 127.0.0.1 only. gunicorn is killed with all its workers in the middle of it.
"""

import http.client
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from datetime import datetime, timedelta
from pathlib import Path
from urllib.parse import urlencode

from django.core.management import call_command
from django.urls import resolve, reverse
from django.utils import timezone

from studio.bench.prize import PASSWORD, Prize

HOST = "127.0.0.1"
PATIENCE = 60  # seconds until gunicorn must answer
WORKERS, THREADS = 2, 4  # as README.md has it
ANSWERS_WITH_A_PAGE = {200, 409, 422}
TAKEN = " is taken by "


def run_web_heat(clients: int, seconds: float, folder: Path) -> list[str]:
    """The answers of each client in the words of `racer`, one text a client."""
    folder.mkdir()
    call_command("collectstatic", interactive=False, verbosity=0)
    with socket.socket() as free:
        free.bind((HOST, 0))
        port = free.getsockname()[1]
    server = _serve(port)
    try:
        headers = _signed_in(port)
        prize = Prize.found()
        over = threading.Event()
        all_of_them = [
            _Client(port, headers, prize, random.Random(f"{folder}{number}"), over)
            for number in range(clients)
        ]
        for client in all_of_them:
            client.start()
        time.sleep(seconds)
        over.set()  # what breaks from now on is the kill
    finally:
        os.killpg(server.pid, signal.SIGKILL)
        server.wait()
    for client in all_of_them:
        client.join()
    return [client.notes for client in all_of_them]


def _serve(port: int) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "studio.wsgi", "--bind", f"{HOST}:{port}"]
        + ["--worker-class", "gthread", "--workers", str(WORKERS), "--threads", str(THREADS)]
        + ["--timeout", "120", "--log-level", "warning"],
        start_new_session=True,
    )


def _signed_in(port: int) -> dict[str, str]:
    """The headers of somebody who came in through the sign-in page, as a browser would send them."""
    address = reverse("login")
    until = time.monotonic() + PATIENCE
    while True:
        try:
            _, cookies, _ = _ask(port, "GET", address)
            break
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.2)
    form = {"username": "maren", "password": PASSWORD, "csrfmiddlewaretoken": cookies["csrftoken"]}
    status, cookies, page = _ask(port, "POST", address, _as_headers(cookies), form)
    if status != 302:
        raise RuntimeError(f"Nobody could sign in: {status} {page[:200]}")
    return _as_headers(cookies)


def _as_headers(cookies: dict[str, str]) -> dict[str, str]:
    return {
        "Cookie": "; ".join(f"{name}={value}" for name, value in cookies.items()),
        "X-CSRFToken": cookies["csrftoken"],
    }


def _ask(port: int, method: str, address: str, headers=None, form=None):
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


class _Client(threading.Thread):
    """Posts the form of a new session until the server is gone."""

    def __init__(self, port, headers, prize, chance, over):
        super().__init__(daemon=True)
        self.port, self.headers, self.prize = port, headers, prize
        self.chance, self.over, self.notes = chance, over, ""
        self.address = reverse("bookings:create")

    def run(self) -> None:
        while True:
            wish = self._wish()
            began = time.monotonic()
            try:
                status, _, answer = _ask(self.port, "POST", self.address, self.headers, wish)
            except (OSError, http.client.HTTPException) as error:
                if self.over.is_set():
                    return
                self._note(began, "error", type(error).__name__, error)
                continue
            self._note(began, *_words(status, answer, wish))

    def _note(self, began: float, *words) -> None:
        took = time.monotonic() - began
        self.notes += " ".join(map(str, [*words, f"{took:.3f}"])) + "\n"

    def _wish(self) -> dict:
        starts_at = self.prize.day + timedelta(hours=self.chance.randrange(24))
        wish = {
            "project": self.prize.project.pk,
            "title": "Booked by a client",
            "starts_at": _typed(starts_at),
            "ends_at": _typed(starts_at + timedelta(hours=self.chance.randint(1, 6))),
            "status": "held",
            "rooms": self._some(self.prize.rooms, 1),
            "people": self._some(self.prize.people, 0),
            "units": self._some(self.prize.units, 0),
        }
        return wish | ({"queue_behind": "on"} if self.chance.random() < 0.3 else {})

    def _some(self, things: list, least: int) -> list[int]:
        some = self.chance.sample(things, self.chance.randint(least, len(things)))
        return [thing.pk for thing in some]


def _typed(moment: datetime) -> str:
    return timezone.localtime(moment).strftime("%Y-%m-%dT%H:%M")


def _words(status: int, answer: str, wish: dict) -> list:
    """The answer in the words of `racer`; a page without a clash is an error."""
    if status == 302 and answer != reverse("bookings:create"):
        count = sum(len(wish[things]) for things in ("rooms", "people", "units"))
        return ["booked", resolve(answer).kwargs["pk"], count]
    if status in ANSWERS_WITH_A_PAGE and TAKEN in answer:
        return ["clash"]
    return ["error", f"status {status} without a clash"]
