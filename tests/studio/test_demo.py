"""`manage.py demo` over a database that is there already."""

import os
import sqlite3
import subprocess
import sys

import pytest

from tests.shared_database import ROOT

# Without the filling, which takes half a minute.
DEMO = """
import django
django.setup()
from django.core.management import execute_from_command_line
from studio.demo import command as demo
demo.fill = lambda: None
execute_from_command_line(["manage.py", "demo", "--no-serve"])
"""


@pytest.fixture
def demo(tmp_path):
    """`demo()`: how the command ended, and all that it said; its data are in `tmp_path`."""

    def run():
        mine = {"DATA_DIR": str(tmp_path), "DATABASE_URL": f"sqlite:///{tmp_path}/studio.sqlite3"}
        return subprocess.run(
            [sys.executable, "-c", DEMO],
            cwd=ROOT,
            env=os.environ | mine | {"DJANGO_SETTINGS_MODULE": "studio.settings"},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )

    return run


@pytest.fixture
def from_before(tmp_path):
    """As much of a database from before the first release as tells what it is."""
    file = tmp_path / "studio.sqlite3"

    def make(*usernames):
        with sqlite3.connect(file) as database:
            database.executescript(
                "CREATE TABLE django_migrations "
                "(id integer PRIMARY KEY, app text, name text, applied datetime);"
                "INSERT INTO django_migrations (app, name, applied) "
                "VALUES ('studio_sessions', '0001_initial', '2026-01-01 00:00:00');"
                "CREATE TABLE studio_user (id integer PRIMARY KEY, username text);"
            )
            database.executemany(
                "INSERT INTO studio_user (username) VALUES (?)", [(name,) for name in usernames]
            )
        return file

    return make


def usernames(file):
    with sqlite3.connect(file) as database:
        return [name for (name,) in database.execute("SELECT username FROM studio_user")]


def test_demo_from_before_the_first_release_is_made_anew(demo, from_before):
    file = from_before("odile", "ulric", "piran", "kerensa")

    ended = demo()

    assert ended.returncode == 0, ended.stdout
    assert "This demo was made before the first release: it is made anew." in ended.stdout
    assert usernames(file) == []  # emptied, and filled by nobody here


def test_database_of_other_people_from_before_is_refused_and_left_as_it_was(demo, from_before):
    file = from_before("odile", "somebody")

    ended = demo()

    assert ended.returncode == 1
    assert "made before the first release (0.1)" in ended.stdout
    assert usernames(file) == ["odile", "somebody"]
