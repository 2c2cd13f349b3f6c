"""Run `manage.py bench` as a person does, on the engine that the tests run on."""

import os
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

from django.db import connection

ROOT = Path(__file__).resolve().parents[2]


def bench(tmp_path, *arguments, status=0):
    """What it printed, and what it complained of. It must end with `status` and leave nothing
    behind: no file where temporary ones go, no database on the server."""
    process = subprocess.Popen(
        [sys.executable, "manage.py", "bench", *arguments],
        cwd=ROOT,
        env=os.environ | {"TMPDIR": str(tmp_path), "DATABASE_URL": url()},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    printed, complained = process.communicate(timeout=600)
    assert process.returncode == status, complained
    assert list(tmp_path.glob("studio-bench-*")) == []
    assert databases(f"studio-bench-{process.pid}-") == []
    return printed, complained


def url() -> str:
    """Of the tests' own database."""
    name = connection.settings_dict["NAME"]
    if connection.vendor == "sqlite":
        return os.environ.get("DATABASE_URL", "sqlite:///not-opened.sqlite3")
    return urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()


def databases(prefix: str) -> list[str]:
    """Those on the server whose names begin so; SQLite has no server."""
    if connection.vendor == "sqlite":
        return []
    with connection.cursor() as cursor:
        cursor.execute("SELECT datname FROM pg_database WHERE starts_with(datname, %s)", [prefix])
        return [name for (name,) in cursor.fetchall()]
