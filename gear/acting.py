"""Verbs that change the record, and who acted: also outside a web request."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from types import SimpleNamespace

from django.db import transaction
from django.db.models import Model
from simple_history.models import HistoricalRecords


def action(verb: Callable) -> Callable:
    """Run the verb in one transaction, whose history names the person that it is done `by`.

    None is nobody: the clock.
    """

    @wraps(verb)
    def acted(*args, by, **kwargs):
        with transaction.atomic(), _ending(), acting(by):
            return verb(*args, by=by, **kwargs)

    return acted


def set_facts(thing: Model, **facts) -> None:
    """Give the thing new values for its fields; it is not saved."""
    for name, value in facts.items():
        setattr(thing, name, value)


def at_the_end(work: Callable[[], None]) -> None:
    """Do this once the action that is going on, with all that it calls, has changed what it changes,
    in the same transaction. Outside of an action it is not done."""
    if (works := _works.get()) is not None:
        works.append(work)


_works: ContextVar[list[Callable] | None] = ContextVar("works", default=None)


@contextmanager
def _ending() -> Iterator[None]:
    if _works.get() is not None:
        yield
        return
    token = _works.set([])
    try:
        yield
        for work in _works.get():
            work()
    finally:
        _works.reset(token)


@contextmanager
def acting(by) -> Iterator[None]:
    """The history takes its user from the request that is being answered: this stands in for it."""
    context = HistoricalRecords.context
    outer = getattr(context, "request", None)
    context.request = SimpleNamespace(user=by)
    try:
        yield
    finally:
        context.request = outer
