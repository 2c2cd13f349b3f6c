"""Two people booking at once: they queue for what they both want, and the loser is told so."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from fcntl import LOCK_EX, flock
from functools import wraps

from django.db import IntegrityError, connection, transaction
from django.db.models import Model

from gear.equipment.models import Unit
from sessions.clients.models import Person
from sessions.rooms.models import Room
from sessions.rooms.resources import by_kind

RETRIES = 2


def retry_on_overlap(action: Callable) -> Callable:
    """Run the action in one transaction; where the database says that another writer took the time
    in between, run it once more, so that it sees what is there now and can answer with it."""

    @wraps(action)
    def in_one_transaction(*args, **kwargs):
        with _in_turn() as let_in_the_next:

            def once():
                with transaction.atomic():
                    transaction.on_commit(let_in_the_next)  # before letters are sent
                    return action(*args, **kwargs)

            for _ in range(RETRIES):
                try:
                    return once()
                except IntegrityError as error:
                    if not _is_overlap(error):
                        raise
            return once()

    return in_one_transaction


@contextmanager
def _in_turn() -> Iterator[Callable[[], None]]:
    """On SQLite, wait in line for the place of its one writer; gives what lets in the next.

    SQLite has those who wait try again at growing intervals, so that whoever wrote just now is in
    again before them, over and over. The operating system gives a file's lock to whoever asked
    first, and takes it from a process that is killed. PostgreSQL's row locks keep their own line.
    """
    line_elsewhere = connection.vendor != "sqlite" or connection.is_in_memory_db()
    if line_elsewhere or connection.in_atomic_block:
        yield lambda: None
        return
    with open(f"{connection.settings_dict['NAME']}-turn", "w") as door:
        flock(door, LOCK_EX)
        yield door.close


def _is_overlap(error: IntegrityError) -> bool:
    """Whether a rule of `sessions/constraints.py` against overlapping reservations refused."""
    return "reservation_" in str(error) and "_overlap" in str(error)


def locked(resources: Iterable[Model]) -> list[Model]:
    """The resources as they are now, kept from other bookings until the transaction ends.

    Always in the same order, so that two bookings that want the same things cannot block each
    other. SQLite lets one writer in at a time anyway and needs no lock.
    """
    wanted = by_kind(resources)
    rows = [
        Room.objects.filter(pk__in=[room.pk for room in wanted["room"]]),
        Person.objects.filter(pk__in=[person.pk for person in wanted["person"]]),
        Unit.objects.filter(pk__in=[unit.pk for unit in wanted["unit"]]).select_related("model"),
    ]
    return [
        resource
        for of_kind in rows
        for resource in of_kind.order_by("pk").select_for_update(of=("self",), no_key=True)
    ]
