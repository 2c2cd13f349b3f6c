"""One moment of the database, however much is written meanwhile."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connections, transaction

ALIAS = "snapshot"


@contextmanager
def snapshot() -> Iterator:
    """A connection of its own, in one transaction that only reads. It shuts out nobody: a reader does
    not on PostgreSQL, nor does one on SQLite's write-ahead log, if it does not begin as a writer."""
    own = connections["default"].settings_dict
    if connections["default"].vendor == "sqlite":
        own = own | {"OPTIONS": own["OPTIONS"] | {"transaction_mode": "DEFERRED"}}
    connections.databases[ALIAS] = own
    connection = connections[ALIAS]
    try:
        with transaction.atomic(using=ALIAS):
            if connection.vendor == "postgresql":
                with connection.cursor() as cursor:
                    cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            yield connection
    finally:
        connection.close()
        del connections[ALIAS], connections.databases[ALIAS]
