"""One of many writers: books, cancels and queues at random, and notes each answer as it comes.

A file of answers holds a line for each: `booked KEY COUNT`, `cancelling KEY`, `cancelled KEY`,
`clash`, `error NAME …`; the last word is the seconds that the answer took. A line that is in the
file was acknowledged.
"""

import http.client
import os
import random
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TextIO

from django.urls import resolve, reverse
from django.utils import timezone

from sessions.bookings.actions import book_session, set_status
from sessions.bookings.clashes import ClashError
from sessions.bookings.models import RecordingSession
from tests.measure.prize import Prize
from tests.measure.web import ask

TAKEN = " is taken by "
ANSWERS_WITH_A_PAGE = {200, 409, 422}


class Clash(Exception):
    """What was wanted is taken, and the answer said by whom."""


@dataclass
class Actions:
    """The studio's own actions, in the writer's process."""

    prize: Prize

    def book(self, **wish) -> int:
        try:
            session = book_session(self.prize.project, status="held", by=self.prize.manager, **wish)
        except ClashError as refused:
            if all(TAKEN in message for message in refused.messages) and refused.clashes:
                raise Clash from refused
            raise
        return session.pk

    def cancel(self, key: int) -> None:
        session = RecordingSession.objects.get(pk=key)
        set_status(session, to="cancelled", by=self.prize.manager)


@dataclass
class Forms:
    """The forms of the pages, through a server that is killed in the middle of it."""

    prize: Prize
    port: int
    headers: dict[str, str]

    def book(self, *, starts_at, ends_at, queue_behind, rooms, people, units, title) -> int:
        form = {
            "project": self.prize.project.pk,
            "title": title,
            "starts_at": _typed(starts_at),
            "ends_at": _typed(ends_at),
            "status": "held",
            "rooms": [room.pk for room in rooms],
            "people": [person.pk for person in people],
            "units": [unit.pk for unit in units],
        } | ({"queue_behind": "on"} if queue_behind else {})
        address = reverse("bookings:create")
        return resolve(self._moved_on(address, form)).kwargs["pk"]

    def cancel(self, key: int) -> None:
        self._moved_on(reverse("bookings:status", args=[key]), {"to": "cancelled"})

    def _moved_on(self, address: str, form: dict) -> str:
        """Where the answer leads; a page without a clash is an error."""
        status, _, answer = ask(self.port, "POST", address, self.headers, form)
        if status == 302 and answer != address:
            return answer
        if status in ANSWERS_WITH_A_PAGE and TAKEN in answer:
            raise Clash
        raise RuntimeError(f"status {status} without a clash")


def _typed(moment: datetime) -> str:
    return timezone.localtime(moment).strftime("%Y-%m-%dT%H:%M")


@dataclass
class Writer:
    door: Actions | Forms
    chance: random.Random
    notes: TextIO
    over: Callable[[], bool]  # what breaks from then on is the kill
    booked: list[int] = field(default_factory=list)

    def run(self) -> None:
        while not self.over():
            self.began = time.monotonic()
            try:
                if self.booked and self.chance.random() < 0.3:
                    self._cancel(self.booked.pop(self.chance.randrange(len(self.booked))))
                else:
                    self._book()
            except Clash:
                self._note("clash")
            except Exception as error:  # whatever it is, somebody would have seen an error page
                if self.over() and isinstance(error, (OSError, http.client.HTTPException)):
                    return
                self._note("error", type(error).__name__, str(error).replace("\n", " "))

    def _book(self) -> None:
        prize, chance = self.door.prize, self.chance
        starts_at = prize.day + timedelta(hours=chance.randrange(24))
        wanted = {
            kind: chance.sample(things, chance.randint(least, len(things)))
            for kind, things, least in (
                ("rooms", prize.rooms, 1),
                ("people", prize.people, 0),
                ("units", prize.units, 0),
            )
        }
        key = self.door.book(
            title=f"Booked by {os.getpid()}",
            starts_at=starts_at,
            ends_at=starts_at + timedelta(hours=chance.randint(1, 6)),
            queue_behind=chance.random() < 0.3,
            **wanted,
        )
        self._note("booked", key, sum(map(len, wanted.values())))
        self.booked.append(key)

    def _cancel(self, key: int) -> None:
        self._note("cancelling", key)
        self.door.cancel(key)
        self._note("cancelled", key)

    def _note(self, *words) -> None:
        took = time.monotonic() - self.began
        self.notes.write(" ".join(map(str, [*words, f"{took:.3f}"])) + "\n")
