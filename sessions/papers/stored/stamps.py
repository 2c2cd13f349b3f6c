"""The state of the house in one query: what is kept goes on being served while it stays the same."""

import hashlib
from functools import cache

from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser
from django.db import connection

from sessions.papers.stored.kinds import PaperKind, Wanted

#: Histories are numbered as they begin and seen as they end: while somebody writes, the newest number
#: doesn't say all. Then the stamp is of this moment alone. SQLite has one writer at a time.
STILL_WRITING = "SELECT NULLIF(split_part(now.it::text, ':', 3), '') || now.it FROM pg_current_snapshot() AS now(it)"


def stamp_of(wanted: Wanted, user: AbstractBaseUser) -> str:
    """Of what somebody wants: changes with every change of anything that it may print or that
    decides whether they may see it, and with the code."""
    with connection.cursor() as cursor:
        cursor.execute(_state(wanted.kind))
        state = cursor.fetchone()
    who = (user.pk, user.role, user.is_superuser)
    said = (state, who, wanted.said(), settings.STUDIO_NAME, settings.TIME_ZONE)
    return digest(repr(said).encode(), code())


@cache
def _state(kind: PaperKind) -> str:
    """Written once: to put it together takes Django longer than the answer takes."""
    tables = [connection.ops.quote_name(model.history.model._meta.db_table) for model in kind.reads]
    parts = [f"SELECT MAX(history_id) FROM {table}" for table in tables]
    parts += [STILL_WRITING] if connection.vendor == "postgresql" else []
    return "SELECT " + ", ".join(f"({part})" for part in parts)


@cache
def code() -> bytes:
    """The code and the templates that this process runs: another version may print otherwise."""
    root = settings.BASE_DIR
    patterns = ("templates/**/*", "sessions/**/*.py", "gear/**/*.py", "studio/templatetags/*.py")
    files = [root / "requirements.txt", *(each for found in patterns for each in root.glob(found))]
    return digest(*(file.read_bytes() for file in sorted(files) if file.is_file())).encode()


def digest(*parts: bytes) -> str:
    """Of each part's own hash, so that nothing depends on where one ends and the next begins."""
    digests = b"".join(hashlib.sha256(part).digest() for part in parts)
    return hashlib.sha256(digests).hexdigest()
