"""Run `python -m tests.measure` as a person does, on the engine that the tests run on."""

import os
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

from django.db import connection

ROOT = Path(__file__).resolve().parents[2]


def measure(tmp_path, *arguments, status=0):
    """What it printed, and what it complained of. It must end with `status` and leave nothing
    behind: no file where temporary ones go, no database on the server."""
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.measure", *arguments],
        cwd=ROOT,
        env=os.environ | {"TMPDIR": str(tmp_path), "DATABASE_URL": own_url()},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    printed, complained = process.communicate(timeout=600)
    assert process.returncode == status, printed + complained
    assert list(tmp_path.glob("studio-measure-*")) == []
    assert databases(f"studio-measure-{process.pid}-") == []
    return printed, complained


def own_url() -> str:
    """Of the tests' own database."""
    if connection.vendor == "sqlite":
        return os.environ.get("DATABASE_URL", "sqlite:///not-opened.sqlite3")
    name = connection.settings_dict["NAME"]
    return urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()


def databases(prefix: str) -> list[str]:
    """Those on the server whose names begin so; SQLite has no server."""
    if connection.vendor == "sqlite":
        return []
    with connection.cursor() as cursor:
        cursor.execute("SELECT datname FROM pg_database WHERE starts_with(datname, %s)", [prefix])
        return [name for (name,) in cursor.fetchall()]
