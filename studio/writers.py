"""So many requests of a process may wait to write; the other threads stay free for whoever reads.

On SQLite one writes at a time, and the others wait for up to a minute: where somebody holds the
database, they would soon be all that the threads do.
"""

import time
from threading import Condition

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from sessions.unavailable import Unavailable
from studio.gone import READS, not_now

NONE_MOVED = (
    10.0  # seconds in which no writer began or came to its end: somebody holds the database
)


class Places:
    """For writers of one process: `most` at once. A further one waits as long as others come to their
    end, and is refused where none does."""

    def __init__(self, most: int, none_moved: float = NONE_MOVED):
        self.most, self.none_moved = most, none_moved
        self._taken, self._moved_at = 0, 0.0
        self._moved = Condition()

    def take(self) -> bool:
        """Whether there is one for the caller."""
        with self._moved:
            while self._taken >= self.most:
                left = self._moved_at + self.none_moved - time.monotonic()
                if left <= 0:
                    return False
                self._moved.wait(left)
            self._taken, self._moved_at = self._taken + 1, time.monotonic()
            return True

    def give_back(self) -> None:
        with self._moved:
            self._taken, self._moved_at = self._taken - 1, time.monotonic()
            self._moved.notify()


class WritersMiddleware:
    """Before everything that asks the database."""

    def __init__(self, get_response):
        self.get_response = get_response
        self.places = Places(settings.WRITERS_AT_ONCE)

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method in READS:
            return self.get_response(request)
        if not self.places.take():
            return not_now(request, Unavailable.HELD)
        try:
            return self.get_response(request)
        finally:
            self.places.give_back()
