"""Backups that are made by themselves when they are due, and now where somebody asks."""

import zipfile
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from studio.backups.models import Backup
from studio.backups.regular import ask_for_backup, make_backup, want_due
from tests.factories import TEN_O_CLOCK

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture(autouse=True)
def folder(settings, tmp_path, now_is_the_moment):
    folder, settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "backups", tmp_path / "incoming"
    for each in (folder, settings.FILE_UPLOAD_TEMP_DIR):
        each.mkdir()
    settings.BACKUP_FOLDER, settings.BACKUP_EVERY_HOURS = str(folder), 24
    return folder


def tasks():
    return DBTaskResult.objects.filter(task_path=make_backup.module_path)


def asked_for() -> int:
    return tasks().count()


def work() -> None:
    """As the worker does."""
    for result in tasks():
        make_backup.call(*result.args_kwargs["args"])


def made(hours_ago, **facts):
    return Backup.objects.create(made_at=TEN_O_CLOCK - hours_ago * HOUR, **facts)


@pytest.mark.parametrize(
    ("earlier", "is_due"),
    [
        ([], True),
        ([(23, "")], False),
        ([(24, "")], True),
        ([(24, ""), (0.5, "The disk is full.")], False),
        ([(24, ""), (1, "The disk is full.")], True),
        ([(0.5, "The disk is full.")], False),
        ([(23, ""), (2, "The disk is full.")], False),
        ([(24, ""), (-24 * 365, "")], True),  # by a clock that was ahead
        ([(23, ""), (-24 * 365, "The disk is full.")], False),
    ],
)
def test_one_is_made_when_the_last_good_one_is_a_period_old(earlier, is_due):
    """After one that failed it is tried again in an hour."""
    for hours, failure in earlier:
        made(hours, failure=failure)

    want_due(TEN_O_CLOCK)

    assert asked_for() == is_due


def test_without_a_folder_none_is_made(settings):
    settings.BACKUP_FOLDER = ""

    want_due(TEN_O_CLOCK)

    assert asked_for() == 0


def test_while_one_is_being_made_no_other_is_asked_for(manager):
    ask_for_backup(by=manager)
    want_due(TEN_O_CLOCK)
    with pytest.raises(ValidationError, match="being made already"):
        ask_for_backup(by=manager)

    assert asked_for() == 1


def test_worker_makes_it_for_whoever_asked_and_removes_what_is_too_many(manager, folder, settings):
    settings.BACKUP_KEEP = 1
    before = made(1, file=folder / "before.zip", size=2)
    (folder / "before.zip").write_bytes(b"PK")

    ask_for_backup(by=manager)
    work()

    backup = Backup.objects.last_good()
    assert (backup.failure, backup.made_by) == ("", manager)
    assert zipfile.is_zipfile(backup.file)
    assert [path.name for path in folder.glob("*.zip")] == [str(backup)]
    before.refresh_from_db()
    assert before.removed_at is not None
    assert timezone.now() - backup.made_at < HOUR


def test_one_that_fails_is_noted_and_nothing_is_removed(folder, settings):
    settings.BACKUP_KEEP = 1
    settings.BACKUP_FOLDER = str(folder / "not mounted")
    old = folder / "old.zip"
    old.write_bytes(b"PK")
    made(50, file=old, size=2)
    made(40, file=old, size=2)

    want_due(TEN_O_CLOCK)
    work()

    failed = Backup.objects.first()
    assert "not mounted" in failed.failure
    assert old.exists()
    assert Backup.objects.kept().count() == 2
