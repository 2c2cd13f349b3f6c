"""A second database beside the one in use, so that two sizes are measured in turn."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit

from django.core.management import call_command
from django.db import DEFAULT_DB_ALIAS, connections

from tests.measure.scratch import empty_database


class Database:
    """`with database:` all that is asked is asked of it."""

    def __init__(self, connection):
        self.connection, self.before = connection, None

    def __enter__(self):
        self.before = connections[DEFAULT_DB_ALIAS]
        connections[DEFAULT_DB_ALIAS] = self.connection

    def __exit__(self, *_):
        connections[DEFAULT_DB_ALIAS] = self.before

    def of(self, work: Callable[[], object]) -> Callable[[], object]:
        """The same work, done in it."""

        def do():
            with self:
                return work()

        return do


@contextmanager
def another_database() -> Iterator[Database]:
    """An empty one like the one in use, dropped afterwards."""
    own = connections[DEFAULT_DB_ALIAS]
    with empty_database() as (_, url):
        path = urlsplit(url).path
        name = path if own.vendor == "sqlite" else path.removeprefix("/")
        other = Database(type(own)(own.settings_dict | {"NAME": name}, DEFAULT_DB_ALIAS))
        with other:
            call_command("migrate", run_syncdb=True, verbosity=0)
        yield other
        other.connection.close()
