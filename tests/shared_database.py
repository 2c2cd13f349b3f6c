"""The tests' database for processes of their own; wants the fixture `real_database`."""

import sqlite3
from pathlib import Path
from urllib.parse import quote

from django.db import connection

ROOT = Path(__file__).resolve().parents[1]


class SharedDatabase:
    """A database that other processes can open, and how to look into it from here."""

    def __init__(self, tmp_path):
        self.file = tmp_path / "shared.sqlite3" if connection.vendor == "sqlite" else None
        if self.file:
            with sqlite3.connect(self.file) as copy:
                connection.connection.backup(copy)
            self.url = f"sqlite:///{self.file}"
        else:
            of = connection.settings_dict
            # The host may be the folder of a socket, and the password anything.
            who = ":".join(quote(of[name], safe="") for name in ("USER", "PASSWORD"))
            where = quote(of["HOST"], safe="") + (f":{of['PORT']}" if of["PORT"] else "")
            self.url = f"postgres://{who}@{where}/{of['NAME']}"

    def ask(self, query):
        if self.file is None:
            with connection.cursor() as cursor:
                cursor.execute(query)
                return cursor.fetchall() if cursor.description else []
        with sqlite3.connect(self.file) as looking:
            return looking.execute(query).fetchall()
