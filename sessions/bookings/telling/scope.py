"""Whoever changes sessions tells of it: once, when all that belongs to one press is done."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps

from django.db import transaction

from sessions.bookings.models import RecordingSession
from sessions.bookings.telling.choices import NONE, Choices
from sessions.bookings.telling.planning import Plan, plan
from sessions.bookings.telling.writing import drafts_for, write
from sessions.letters.models import Letter
from sessions.letters.outbox import Draft


class Telling:
    """The sessions that were touched so far, by whom; at the end the letters, and who has no address."""

    def __init__(self, by):
        self.by = by
        self.keys: dict[int, None] = {}  # in the order in which they were touched
        self.letters: list[Letter] = []
        self._planned: Plan | None = None

    def touched(self, *sessions: RecordingSession) -> None:
        """Note that something about them is other than before. Also what did not change may be named:
        nobody is told what they know."""
        self.keys |= dict.fromkeys(session.pk for session in sessions)
        self._planned = None

    @property
    def planned(self) -> Plan:
        """What is to be told as things stand; made once."""
        if self._planned is None:
            self._planned = plan(self.keys, by=self.by) if self.keys else Plan()
        return self._planned


_open: ContextVar[Telling | None] = ContextVar("telling", default=None)


@contextmanager
def telling(*, by, choices: Choices = NONE) -> Iterator[Telling]:
    """One transaction, at whose end those whom the touched sessions concern are written to: at most
    one letter to each address. Within another it joins that one, whose choices hold."""
    if outer := _open.get():
        yield outer
        return
    with _telling(by) as told:
        yield told
        told.letters = write(told.planned, choices, by=by)


def tell(*sessions: RecordingSession, by) -> None:
    """What became of these sessions is to be told, with all else of the telling that is open."""
    with telling(by=by) as told:
        told.touched(*sessions)


def telling_once(verb: Callable) -> Callable:
    """The verb with all that it calls is one telling, or part of the one that is open: one letter to
    each address."""

    @wraps(verb)
    def told(*args, by, **kwargs):
        with telling(by=by):
            return verb(*args, by=by, **kwargs)

    return told


def drafts_of(act: Callable[[], object], *, by) -> list[Draft]:
    """The letters that would be written if this were done, which it is not."""
    with _telling(by) as told:
        act()
        drafts = drafts_for(told.planned, by=by)
        transaction.set_rollback(True)
    return drafts


@contextmanager
def _telling(by) -> Iterator[Telling]:
    with transaction.atomic():
        told = Telling(by)
        token = _open.set(told)
        try:
            yield told
        finally:
            _open.reset(token)
