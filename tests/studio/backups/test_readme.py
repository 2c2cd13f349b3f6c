"""Each line that README.md gives for installing, backing up, restoring, moving and upgrading is run as
it stands there, by the command that it names; only the folders are others, and nobody is asked."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from django.conf import settings as studio
from django.core.files.base import ContentFile
from django.core.management import call_command
from django.db import connection

from sessions.clients.models import Person
from studio.models import User
from studio.roles import Role
from tests.factories import DeliverableFileFactory, PersonFactory
from tests.studio.backups.others import using

pytestmark = pytest.mark.django_db

MANAGE = ".venv/bin/python manage.py "
#: What these lines do is run by `.ci/run` itself, and by tests/sessions/test_upgrade.py.
ELSEWHERE = {"git pull", "sh .ci/install", f"{MANAGE}migrate"}
#: What the command would ask for.
UNASKED = {
    "createsuperuser": (
        "--noinput",
        "--username=odile",
        "--first_name=Odile",
        "--last_name=Marrack",
        "--email=odile@quay-steps.example",
    )
}


def lines_under(heading: str) -> list[str]:
    readme = (studio.BASE_DIR / "README.md").read_text()
    part = re.split(rf"\n##+ {heading}\n", readme)[1].split("\n### ")[0]
    lines = [
        line.strip()
        for block in re.findall(r"```sh\n(.*?)```", part, re.S)
        for line in block.strip().splitlines()
    ]
    assert lines
    return lines


class Shell:
    """Runs lines of a shell, one after the other; what they set stays set."""

    def __init__(self, backups: Path):
        self.backups, self.set = backups, []

    def run(self, lines: list[str]) -> None:
        for line in lines:
            here = line.replace("/var/backups/studio", str(self.backups))
            if here.startswith(MANAGE) and line not in ELSEWHERE:
                words = self._words(here.removeprefix(MANAGE))
                call_command(*words, *UNASKED.get(words[0], ()))
            elif re.match(r"(export )?\w+=", here):
                self.set.append(here)
            else:
                assert line in ELSEWHERE, line

    def _words(self, said: str) -> list[str]:
        script = "; ".join([*self.set, f"printf '%s\\n' {said}"])
        return subprocess.run(
            ["/bin/sh", "-euc", script], capture_output=True, text=True, check=True
        ).stdout.splitlines()


@pytest.fixture
def shell(tmp_path, settings, now_is_the_moment):
    settings.MIGRATION_MODULES = {}
    settings.DATA_DIR = tmp_path
    settings.STATIC_ROOT = tmp_path / "static"
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "incoming"
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()
    (tmp_path / "backups").mkdir()
    return Shell(tmp_path / "backups")


def fill_a_little() -> None:
    PersonFactory(name="Jory Penhale")
    row = DeliverableFileFactory()
    row.file.save("tone.wav", ContentFile(b"RIFF"))
    row.save()


def test_install_makes_the_first_manager(shell, empty_sqlite, tmp_path, monkeypatch):
    monkeypatch.setenv("DJANGO_SUPERUSER_PASSWORD", "twelve-bollards-of-rope")
    monkeypatch.delenv("DJANGO_ALLOW_ASYNC_UNSAFE", raising=False)  # of tests in a browser
    shutil.copy(empty_sqlite, tmp_path / "own.sqlite3")
    with using(tmp_path / "own.sqlite3"):
        shell.run(lines_under("Into production"))

        assert User.objects.get().role == Role.MANAGER
    assert (studio.STATIC_ROOT / "studio").is_dir()


def test_back_up_and_restore_on_a_fresh_machine(shell, empty_sqlite, tmp_path, settings, capsys):
    fill_a_little()
    shell.run(lines_under("Back up"))
    settings.MEDIA_ROOT = tmp_path / "fresh" / "files"
    shutil.copy(empty_sqlite, tmp_path / "fresh.sqlite3")
    with using(tmp_path / "fresh.sqlite3"):
        shell.run(lines_under("Restore"))
        assert Person.objects.filter(name="Jory Penhale").exists()
    assert [path.read_bytes() for path in settings.MEDIA_ROOT.rglob("*.wav")] == [b"RIFF"]
    said = capsys.readouterr().out
    for words in ("unaltered", "Restored:", "static file"):
        assert words in said


@pytest.mark.postgres
def test_move_from_sqlite_to_postgresql(shell, on_postgresql, empty_sqlite, tmp_path):
    """The address in the README is one of a server that is not here: its database is the tests'."""
    shutil.copy(empty_sqlite, tmp_path / "own.sqlite3")
    first, *rest = lines_under("Move from SQLite to PostgreSQL")
    with using(tmp_path / "own.sqlite3"):
        fill_a_little()
        shell.run([first])
    shell.run(rest)

    assert connection.vendor == "postgresql"
    assert Person.objects.filter(name="Jory Penhale").exists()


def test_upgrade_begins_with_a_backup(shell, empty_sqlite, tmp_path):
    shutil.copy(empty_sqlite, tmp_path / "own.sqlite3")
    with using(tmp_path / "own.sqlite3"):
        shell.run(lines_under("Upgrade"))

    assert list(shell.backups.iterdir())
