"""The tests' database for processes of their own; wants the fixture `real_database`."""

import sqlite3
from pathlib import Path

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
            self.url = (
                f"postgres://{of['USER']}:{of['PASSWORD']}@{of['HOST']}:{of['PORT']}/{of['NAME']}"
            )

    def ask(self, query):
        if self.file is None:
            with connection.cursor() as cursor:
                cursor.execute(query)
                return cursor.fetchall()
        with sqlite3.connect(self.file) as looking:
            return looking.execute(query).fetchall()
