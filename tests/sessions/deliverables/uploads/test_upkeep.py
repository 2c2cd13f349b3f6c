"""What was cut off, killed or given up: put on record, measured or removed, whichever is due."""

import os
from datetime import timedelta

import pytest
from django.db import connections
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from sessions.deliverables.measured import measure
from sessions.deliverables.models import DeliverableFile, FileState
from sessions.deliverables.uploads.models import KEPT, Upload, UploadState
from sessions.deliverables.uploads.upkeep import QUIET, tidy_uploads
from sessions.storing import LEFT_BEHIND
from sessions.tasks.models import SOUND
from studio.working.worker import StudioWorker
from tests.factories import SongFactory, UploadFactory
from tests.sessions.deliverables.uploads.sending import sent
from tests.signals import write_wav

pytestmark = pytest.mark.django_db


def uploaded(content: bytes, *, age: timedelta, **facts) -> Upload:
    upload = UploadFactory(kind="documentation", offset=len(content), **facts)
    Upload.objects.update_or_create(pk=upload.pk, defaults={"touched_at": timezone.now() - age})
    upload.path.write_bytes(content)
    return upload


def test_whole_upload_whose_server_was_killed_is_put_on_record(left_behind):
    uploaded(b"gain", size_bytes=4, age=2 * QUIET)

    tidy_uploads(timezone.now())

    upload = Upload.objects.get()
    assert (upload.state, upload.file.size_bytes) == (UploadState.LANDED, 4)
    assert [path.read_bytes() for path in left_behind()] == [b"gain"]


def test_one_that_lost_its_file_holds_up_no_other():
    uploaded(b"lost", size_bytes=4, age=2 * QUIET).path.unlink()
    uploaded(b"gain", size_bytes=4, age=2 * QUIET)

    tidy_uploads(timezone.now())

    assert sorted(Upload.objects.values_list("state", "offset")) == [("arriving", 0), ("landed", 4)]


def test_what_nobody_goes_on_with_is_removed_after_a_week(folders):
    uploaded(b"12", age=1.1 * KEPT)
    uploaded(b"12", age=1.1 * KEPT, state=UploadState.REFUSED).path.unlink()
    kept = uploaded(b"12", age=0.9 * KEPT)
    for name, age in (("old", 1.1 * LEFT_BEHIND), ("new", 0.9 * LEFT_BEHIND)):
        path = folders / "incoming" / f"{name}.part.0000"
        path.touch()
        os.utime(path, 2 * ((timezone.now() - age).timestamp(),))

    tidy_uploads(timezone.now())

    assert list(Upload.objects.all()) == [kept]
    assert {path.name for path in (folders / "incoming").iterdir()} == {
        kept.path.name,
        "new.part.0000",
    }


def test_measuring_that_was_killed_is_done_again_and_once(
    client_of, engineer, source, sound, monkeypatch
):
    monkeypatch.setattr(connections["default"], "close", lambda: None)  # as PostgreSQL needs it
    file = sent(client_of(engineer), SongFactory(), write_wav(source("mix.wav"), sound))
    DBTaskResult.objects.get().claim("killed")
    DeliverableFile.objects.update(state=FileState.MEASURING, progress_percent=40)

    StudioWorker(SOUND, once=True).run()
    [once] = DeliverableFile.objects.values()
    measure.call(file.pk)

    assert (once["state"], once["frames"]) == (FileState.MEASURED, len(sound))
    assert list(DeliverableFile.objects.values()) == [once]
