"""What is not as it was when the backup was made is told, and nothing is believed."""

import json
import zipfile
from datetime import timedelta
from io import StringIO

import pytest
from django.core.files.base import ContentFile
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from sessions import constraints
from sessions.clients.models import Person
from studio.backups.reading import Damaged, opened
from studio.erasures import Erasure
from tests.factories import TEN_O_CLOCK, DeliverableFileFactory, PersonFactory
from tests.watched import watched

pytestmark = pytest.mark.django_db


@pytest.fixture
def backup(backup_of):
    PersonFactory(name="Jory Penhale")
    row = DeliverableFileFactory()
    row.file.save("tone.wav", ContentFile(b"RIFF" * 1000))
    row.save()
    return backup_of()


def verify(path, *options) -> str:
    out = StringIO()
    call_command("verify", str(path), *options, stdout=out, stderr=out)
    return out.getvalue()


def test_whole_backup_is_described(backup):
    with opened(backup) as archive:
        manifest = archive.manifest
    said = verify(backup)

    assert f"{manifest.rows} rows, 1 files" in said
    assert f"Seal of its history: {manifest.history}" in said


def entries(path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as file:
        return {name: file.read(name) for name in file.namelist()}


def written(path, content: dict[str, bytes], how: int = zipfile.ZIP_STORED):
    with zipfile.ZipFile(path, "w", how) as file:
        for name, said in content.items():
            file.writestr(name, said)
    return path


PEOPLE = "tables/studio_sessions_person.jsonl"


def _another_name(content):
    content[PEOPLE] = content[PEOPLE].replace(b"Jory", b"Davy")


def _another_seal(content):
    said = json.loads(content["manifest.json"]) | {"history": "0" * 64}
    content["manifest.json"] = json.dumps(said).encode()


def _name_that_leads_out(content):
    said = json.loads(content["manifest.json"])
    said["files"]["../out.wav"] = said["files"].pop(_stored(content).removeprefix("files/"))
    content["files/../out.wav"] = content.pop(_stored(content))
    content["manifest.json"] = json.dumps(said).encode()


def _length_below_nothing(content):
    """Which would have a line be read without a bound."""
    said = json.loads(content["manifest.json"])
    said["tables"]["studio_sessions_person"]["bytes"] = -2
    content["manifest.json"] = json.dumps(said).encode()


def _migrations_that_are_none(content):
    said = json.loads(content["manifest.json"]) | {"migrations": [5]}
    content["manifest.json"] = json.dumps(said).encode()


def _stored(content) -> str:
    return next(name for name in content if name.startswith("files/"))


CHANGES = {
    "a row was altered": _another_name,
    "rows are gone": lambda content: content.update({PEOPLE: b""}),
    "rows came": lambda content: content.update({PEOPLE: content[PEOPLE] * 2}),
    "a file was altered": lambda content: content.update(
        {_stored(content): b"RIFF" * 999 + b"RIFX"}
    ),
    "a file is longer": lambda content: content.update({_stored(content): b"RIFF" * 1001}),
    "something came": lambda content: content.update({"files/photos/more.jpg": b"?"}),
    "a table is gone": lambda content: content.pop(PEOPLE),
    "the settings were altered": lambda content: content.update(
        {"settings.json": b'{"DEBUG":"1"}'}
    ),
    "the seal is another": _another_seal,
    "a name leads out of the store": _name_that_leads_out,
    "a length is below nothing": _length_below_nothing,
    "migrations are none": _migrations_that_are_none,
}


def test_whatever_was_changed_is_told(backup):
    whole = entries(backup)
    unnoticed = []
    for what, change in CHANGES.items():
        content = dict(whole)
        change(content)
        try:
            verify(written(backup, content))
        except CommandError:
            continue
        unnoticed.append(what)
    assert unnoticed == []


MUCH = b" " * (30 << 20)
BOMBS = {
    "settings": lambda content: content.update({"settings.json": MUCH}),
    "a row": lambda content: content.update({PEOPLE: content[PEOPLE] + MUCH}),
    "a file": lambda content: content.update({_stored(content): MUCH}),
    "depth": lambda content: content.update({"manifest.json": b"[" * 100_000}),
}


def test_what_swells_once_it_is_unpacked_is_told_before_it_does(backup):
    whole, seen = entries(backup), {}
    for what, bomb in BOMBS.items():
        content = dict(whole)
        bomb(content)
        written(backup, content, zipfile.ZIP_DEFLATED)
        with watched() as taken, pytest.raises(CommandError, match="is damaged"):
            verify(backup)
        seen[what] = taken.grown < 10 << 20
    assert seen == dict.fromkeys(BOMBS, True)


def test_every_byte_that_is_cut_or_turned_is_noticed(backup, tmp_path):
    """Where one byte of 150 is turned, and where the file ends early."""
    whole = backup.read_bytes()
    for place in range(0, len(whole), len(whole) // 40):
        for bad in (whole[:place], whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :]):
            backup.write_bytes(bad)
            try:
                with opened(backup) as archive:
                    archive.see_that_it_is_whole()
                    again = archive.manifest
            except (Damaged, OSError):
                continue
            # What says nothing of the content, like a date or a mode.
            backup.write_bytes(whole)
            with opened(backup) as archive:
                assert again == archive.manifest


def test_newer_format_asks_for_an_upgrade(backup):
    content = entries(backup)
    content["manifest.json"] = content["manifest.json"].replace(b'"format": 1', b'"format": 2')
    with pytest.raises(CommandError, match="upgrade this one first"):
        verify(written(backup, content))


def test_what_is_no_backup_is_told(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text("name\n")
    with pytest.raises(CommandError, match="is damaged"):
        verify(path)
    with pytest.raises(CommandError, match="No such file"):
        verify(tmp_path / "none.zip")


class TestAgainstTheDatabase:
    def test_history_that_goes_on_is_no_fault(self, backup):
        PersonFactory(name="Senara Tolle")

        assert "unaltered" in verify(backup, "--against-database")

    def test_what_erase_person_took_out_is_told_and_no_fault(self, backup):
        person = Person.objects.get(name="Jory Penhale")
        row = person.history.get()

        call_command("erase_person", person.pk, yes=True, stdout=StringIO())

        said = verify(backup, "--against-database")
        assert f"studio_sessions_historicalperson {row.pk}: personal data was erased on" in said
        assert "unaltered" in said

    def test_erasure_excuses_nothing_else(self, backup, backup_of):
        """Neither what it does not take out, nor what is altered after the next backup."""
        person = Person.objects.get(name="Jory Penhale")
        call_command("erase_person", person.pk, yes=True, stdout=StringIO())
        after = backup_of(name="after.zip")
        altered = {"name": "Davy Penhale"}, {"history_date": TEN_O_CLOCK}
        for path, facts in zip([after, backup], altered, strict=True):
            verify(path, "--against-database")
            with Erasure.opened():
                first = person.history.last()
                as_it_was = {name: getattr(first, name) for name in facts}
                person.history.filter(pk=first.pk).update(**facts)
            with pytest.raises(CommandError, match="is not the one"):
                verify(path, "--against-database")
            with Erasure.opened():
                person.history.filter(pk=first.pk).update(**as_it_was)

    def test_row_of_history_that_was_altered_or_removed_is_told(self, backup, capsys):
        row = Person.history.get(name="Jory Penhale")
        with constraints.aside(connection):
            Person.history.filter(pk=row.pk).update(name="Davy Penhale")
        with pytest.raises(CommandError, match="is not the one"):
            verify(backup, "--against-database")
        with constraints.aside(connection):
            Person.history.filter(pk=row.pk).delete()
        with pytest.raises(CommandError, match="is not the one"):
            verify(backup, "--against-database")

    @pytest.mark.parametrize(
        ("place", "ago", "said"),
        [
            (0, timedelta(days=9), "is not the one"),
            (0, timedelta(minutes=1), "was written while the backup was made"),
            (5, timedelta(days=9), "bears a date before the backup"),
            (5, -timedelta(days=1), "unaltered"),
        ],
    )
    def test_row_of_history_that_was_put_in_is_told(self, backup_of, place, ago, said):
        row = PersonFactory(name="Senara Tolle").history.get()
        number = row.pk
        with constraints.aside(connection):
            row.delete()
        backup = backup_of()

        row.pk, row.history_date = number + place, timezone.now() - ago
        row.save(force_insert=True)

        if said == "is not the one":
            with pytest.raises(CommandError, match=said):
                verify(backup, "--against-database")
        else:
            assert said in verify(backup, "--against-database")
