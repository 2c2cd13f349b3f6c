"""Django's web sessions in the database, read with SQL that is written once.

Every page asks who is signed in; to put that query together takes Django ten times as long as the
answer takes. What is written, ended and expired stays Django's own.
"""

from django.contrib.sessions.backends.db import SessionStore as DatabaseStore
from django.contrib.sessions.models import Session
from django.db import connection
from django.utils import timezone

HELD = (
    f"SELECT session_data FROM {Session._meta.db_table} "  # noqa: S608 (a name of Django's own)
    "WHERE session_key = %s AND expire_date > %s"
)


class SessionStore(DatabaseStore):
    def load(self) -> dict:
        now = connection.ops.adapt_datetimefield_value(timezone.now())
        with connection.cursor() as cursor:
            cursor.execute(HELD, [self.session_key, now])
            held = cursor.fetchone()
        if held is None:
            self._session_key = None  # as Django has it: nobody chooses the key of their session
            return {}
        return self.decode(held[0])
