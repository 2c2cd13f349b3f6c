"""Whether an error says that the database or the disk is held, full, read-only or away, rather than that
the code is wrong; and what is written only where nobody has to wait for it."""

import errno
import logging
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum

import psycopg
from django.db import Error, connection

logger = logging.getLogger(__name__)


class Unavailable(StrEnum):
    """Why nothing can be kept at the moment; each passes without any change to the program."""

    HELD = "held"
    FULL = "full"
    READ_ONLY = "read-only"
    AWAY = "away"


# https://www.sqlite.org/rescode.html: primary result codes.
SQLITE = {
    5: Unavailable.HELD,  # BUSY
    6: Unavailable.HELD,  # LOCKED
    8: Unavailable.READ_ONLY,  # READONLY
    10: Unavailable.AWAY,  # IOERR: the disk does not do as it is told
    13: Unavailable.FULL,  # FULL
    14: Unavailable.AWAY,  # CANTOPEN
}
# PostgreSQL's manual, appendix A: SQLSTATEs, or the class that their first two letters are.
POSTGRESQL = {
    "08": Unavailable.AWAY,  # connection exception
    "57P": Unavailable.AWAY,  # it was shut down, crashed, or is starting
    "58": Unavailable.AWAY,  # system error, I/O error
    "53100": Unavailable.FULL,
    "53": Unavailable.HELD,  # out of memory or of connections
    "55P03": Unavailable.HELD,  # waited for a lock as long as it may
    "40P01": Unavailable.HELD,  # two waited for one another
    "40001": Unavailable.HELD,
    "25006": Unavailable.READ_ONLY,
}
DISK = {
    errno.ENOSPC: Unavailable.FULL,
    errno.EDQUOT: Unavailable.FULL,
    errno.EFBIG: Unavailable.FULL,
    errno.EROFS: Unavailable.READ_ONLY,
    errno.EIO: Unavailable.AWAY,
}


def unavailable(error: BaseException | None) -> Unavailable | None:
    """Why nothing can be kept, by an error of Django's, of the disk or of the bucket; None for every other error."""
    if isinstance(error, Error):
        return _of_database(error.__cause__)
    if isinstance(error, OSError):
        return DISK.get(error.errno)
    return Unavailable.AWAY if _is_of_bucket(error) else None


def _is_of_bucket(error: BaseException | None) -> bool:
    """That it does not answer; the package is loaded only where files are kept in one."""
    loaded = sys.modules.get("botocore.exceptions")
    return bool(loaded) and isinstance(error, (loaded.ConnectionError, loaded.HTTPClientError))


def _of_database(cause: BaseException | None) -> Unavailable | None:
    if (code := getattr(cause, "sqlite_errorcode", None)) is not None:
        return SQLITE.get(code & 0xFF)
    if not isinstance(cause, psycopg.Error):
        return None
    if not cause.sqlstate:  # no server said it: there is no connection
        lost = (psycopg.OperationalError, psycopg.InterfaceError)
        return Unavailable.AWAY if isinstance(cause, lost) else None
    found = (POSTGRESQL.get(cause.sqlstate[:length]) for length in (5, 3, 2))
    return next(filter(None, found), None)


@contextmanager
def if_nobody_waits() -> Iterator[None]:
    """What is written within it is left unwritten where the database is held by somebody else, full,
    read-only or away: for notes beside a page that is read, which is shown all the same. Not within a
    transaction."""
    sqlite = connection.vendor == "sqlite"
    if sqlite:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA busy_timeout = 0")
    try:
        yield
    except Error as error:
        if unavailable(error) is None:
            raise
        logger.info("Left unwritten: %s", error)
    finally:
        if sqlite and connection.connection is not None:
            patience = connection.settings_dict["OPTIONS"].get("timeout", 5)
            with connection.cursor() as cursor:
                cursor.execute(f"PRAGMA busy_timeout = {round(patience * 1000)}")
