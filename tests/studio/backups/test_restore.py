"""A backup comes back whole, or nothing of it."""

import shutil

import pytest
from django.contrib.contenttypes.models import ContentType
from django.contrib.messages.storage.base import Message
from django.core.exceptions import FieldDoesNotExist
from django.core.files.base import ContentFile
from django.core.management import CommandError, call_command
from django.db import connection

from sessions import constraints
from sessions.bookings.models import Reservation
from sessions.clients.models import Person
from sessions.deliverables.models import DeliverableFile
from sessions.editing.presses import Press
from sessions.letters.models import Letter, LetterTopic
from sessions.takes.models import TakePart
from studio.backups import canonical
from studio.backups.reading import opened
from studio.models import User
from tests.factories import (
    ClientFactory,
    DeliverableFileFactory,
    InvoiceFactory,
    LetterFactory,
    PartFactory,
    PersonFactory,
    ReservationFactory,
    TakeFactory,
    UserFactory,
)
from tests.studio.backups.others import using

pytestmark = pytest.mark.django_db


@pytest.fixture
def fresh(empty_sqlite, tmp_path, settings):
    """`with fresh() as connection:` another machine, on which nothing is."""
    settings.MIGRATION_MODULES = {}

    def machine():
        settings.MEDIA_ROOT = tmp_path / "other" / "files"
        settings.DATA_DIR = tmp_path / "other"
        shutil.copy(empty_sqlite, tmp_path / "other.sqlite3")
        return using(tmp_path / "other.sqlite3")

    return machine


def test_all_comes_back_with_its_files_keys_and_rules(backup_of, fresh, capsys):
    gone = PersonFactory()
    Person.objects.filter(pk=gone.pk).delete()
    TakeFactory()
    InvoiceFactory()
    reservation = ReservationFactory()
    about = LetterTopic.objects.create(letter=LetterFactory(), about=reservation.session)
    row = DeliverableFileFactory()
    row.file.save("tone.wav", ContentFile(b"RIFF"))
    row.save()
    uploaded_at = row.uploaded_at
    histories = Person.history.count()
    said = Message(20, "Session booked.")
    Press.objects.create(user=UserFactory(), key="k" * 64, location="/", messages=[said])
    path = backup_of()

    with fresh() as other:
        call_command("restore", str(path))
        again = backup_of(other, "again.zip")
        back = DeliverableFile.objects.get()
        assert back.uploaded_at == uploaded_at
        with back.file.open() as file:
            assert file.read() == b"RIFF"
        assert LetterTopic.objects.get(pk=about.pk).about == reservation.session
        assert Press.objects.get().messages == [said]
        assert Person.history.count() == histories  # nothing ran that writes one
        assert Person.objects.create(name="Senara Tolle").pk > gone.pk
        assert constraints.missing(other) == set()
        assert constraints.broken(other) == []
    with opened(path) as one, opened(again) as two:
        assert one.manifest.tables == two.manifest.tables
        assert one.manifest.files == two.manifest.files
    assert "each rule asked" in capsys.readouterr().out


def test_database_that_holds_something_is_left_as_it_is(backup_of, settings):
    settings.MIGRATION_MODULES = {}
    ClientFactory()
    path = backup_of()
    with pytest.raises(CommandError, match="holds rows already"):
        call_command("restore", str(path))


def test_damaged_file_writes_nothing(backup_of, fresh, tmp_path):
    PersonFactory()
    path = backup_of()
    path.write_bytes(path.read_bytes()[:-4000])
    with fresh():
        with pytest.raises(CommandError, match="Nothing was restored"):
            call_command("restore", str(path))
        assert not Person.objects.exists()
    assert not (tmp_path / "other").exists()


def test_newer_version_asks_for_an_upgrade(backup_of, fresh, monkeypatch):
    from studio.backups import making

    about = making._about

    def with_another(connection):
        manifest = about(connection)
        manifest.migrations.append(["studio", "0999_of_tomorrow"])
        return manifest

    monkeypatch.setattr(making, "_about", with_another)
    path = backup_of()
    with fresh(), pytest.raises(CommandError, match="studio.0999_of_tomorrow.*upgrade this one"):
        call_command("restore", str(path))


def test_rows_that_break_a_rule_are_told_and_all_is_taken_back(backup_of, fresh, tmp_path):
    constraints.remove(connection)
    first = ReservationFactory()
    ReservationFactory(room=first.room)
    TakePart.objects.filter(take=TakeFactory()).update(part=PartFactory())
    row = DeliverableFileFactory()
    row.file.save("tone.wav", ContentFile(b"RIFF"))
    row.save()
    path = backup_of()
    with fresh() as other:
        with pytest.raises(CommandError, match="(?s)take_of_one_song.*the room is taken"):
            call_command("restore", str(path))
        assert not Reservation.objects.exists()
        assert constraints.missing(other) == set()
    assert [each for each in (tmp_path / "other").rglob("*") if each.is_file()] == []


def test_row_that_lacks_a_column_is_told_and_all_is_taken_back(backup_of, fresh, monkeypatch):
    """Of a file that somebody wrote, with sums that fit."""
    PersonFactory()
    write = canonical.line
    monkeypatch.setattr(
        canonical,
        "line",
        lambda row: write({key: value for key, value in row.items() if key != "credited_as"}),
    )
    path = backup_of()
    with fresh():
        with pytest.raises(CommandError, match="Nothing was restored. A row of studio_sessions_"):
            call_command("restore", str(path))
        assert not Person.objects.exists()


def test_key_that_points_nowhere_is_refused(backup_of, fresh):
    user = User.objects.create(username="demelza")
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO studio_user_groups (user_id, group_id) VALUES (%s, 77)", [user.pk]
        )
        path = backup_of()
        cursor.execute("DELETE FROM studio_user_groups")
    with fresh():
        with pytest.raises(CommandError, match="Nothing was restored"):
            call_command("restore", str(path))
        assert not User.objects.exists()


def test_content_types_are_those_of_the_backup(backup_of, fresh):
    """A fresh machine may have counted them otherwise."""
    LetterTopic.objects.create(letter=LetterFactory(), about=ReservationFactory().session)
    path = backup_of()
    wanted = list(ContentType.objects.order_by("pk").values_list("pk", "app_label", "model"))
    with fresh() as other:
        ContentType.objects.all().delete()
        ContentType.objects.create(app_label="studio", model="user")
        ContentType.objects.clear_cache()
        call_command("restore", str(path))
        assert (
            list(ContentType.objects.order_by("pk").values_list("pk", "app_label", "model"))
            == wanted
        )
        assert Letter.objects.count() == 1
        assert other.vendor == "sqlite"
    ContentType.objects.clear_cache()


NEXT_MIGRATION = """
from django.db import migrations

def know(apps, schema_editor):
    apps.get_model("studio_sessions", "Person").objects.update(does="known to the next version")

class Migration(migrations.Migration):
    dependencies = [("studio", "{last}"), ("studio_sessions", "{last_of_sessions}")]
    operations = [migrations.RunPython(know)]
"""


def last_of(migrations) -> str:
    return max(migrations.glob("0*.py")).stem


def test_backup_of_an_older_version_is_brought_up_to_date(
    backup_of, fresh, tmp_path, settings, monkeypatch
):
    """The program is a later one here, with one migration more."""
    PersonFactory(name="Jory Penhale")
    path = backup_of()
    own = settings.BASE_DIR / "studio" / "migrations"
    later = tmp_path / "later_migrations"
    shutil.copytree(own, later)
    of_sessions = last_of(settings.BASE_DIR / "sessions" / "migrations")
    said = NEXT_MIGRATION.format(last=last_of(own), last_of_sessions=of_sessions)
    (later / "9999_knows_people.py").write_text(said)
    monkeypatch.syspath_prepend(tmp_path)
    with fresh() as other:
        settings.MIGRATION_MODULES = {"studio": "later_migrations"}
        call_command("restore", str(path))
        assert Person.objects.get(name="Jory Penhale").does == "known to the next version"
        assert constraints.missing(other) == set()


def test_backup_of_an_older_version_that_cannot_be_brought_up_leaves_nothing(
    backup_of, fresh, tmp_path, settings, monkeypatch
):
    PersonFactory()
    path = backup_of()
    own = settings.BASE_DIR / "studio" / "migrations"
    later = tmp_path / "failing_migrations"
    shutil.copytree(own, later)
    of_sessions = last_of(settings.BASE_DIR / "sessions" / "migrations")
    said = NEXT_MIGRATION.format(last=last_of(own), last_of_sessions=of_sessions)
    (later / "9999_fails.py").write_text(said.replace("does=", "no_such_field="))
    monkeypatch.syspath_prepend(tmp_path)
    with fresh():
        settings.MIGRATION_MODULES = {"studio": "failing_migrations"}
        with pytest.raises(FieldDoesNotExist):
            call_command("restore", str(path))
        assert not Person.objects.exists()
