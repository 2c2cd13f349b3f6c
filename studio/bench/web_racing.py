"""The race through the web: gunicorn with the whole application, and clients that post its form.

gunicorn is killed with all its workers in the middle of it.
"""

import http.client
import random
import threading
import time
from datetime import datetime, timedelta
from pathlib import Path

from django.urls import resolve, reverse
from django.utils import timezone

from studio.bench.prize import Prize
from studio.bench.web import ask, collect_static, free_port, served, signed_in

ANSWERS_WITH_A_PAGE = {200, 409, 422}
TAKEN = " is taken by "


def run_web_heat(clients: int, seconds: float, folder: Path) -> list[str]:
    """The answers of each client in the words of `racer`, one text a client."""
    folder.mkdir()
    collect_static()
    port = free_port()
    with served(port):
        headers = signed_in(port)
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
    for client in all_of_them:
        client.join()
    return [client.notes for client in all_of_them]


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
                status, _, answer = ask(self.port, "POST", self.address, self.headers, wish)
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
