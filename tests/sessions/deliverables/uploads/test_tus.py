"""The protocol: what is answered to pieces that are right, wrong, late, damaged or somebody else's."""

import errno
import fcntl
import os
from types import SimpleNamespace

import pytest
from django.db import DatabaseError
from PIL import Image

from sessions.deliverables import actions
from sessions.deliverables.listening.actions import give_verdict
from sessions.deliverables.listening.models import Choice
from sessions.deliverables.models import Deliverable, DeliverableFile, FileState
from sessions.deliverables.uploads import arriving
from sessions.deliverables.uploads.models import Upload, UploadState
from tests.factories import DeliverableFactory, SongFactory, UploadFactory
from tests.sessions.deliverables.uploads.sending import (
    TUS,
    begin,
    begun,
    measured,
    send,
    send_piece,
    sent,
)
from tests.signals import write_wav

pytestmark = pytest.mark.django_db


@pytest.fixture
def song():
    return SongFactory()


@pytest.fixture
def wav(source, sound):
    return write_wav(source("mix.wav"), sound)


def test_pieces_make_the_file_that_waits_to_be_measured(
    client_of, assistant, song, wav, left_behind
):
    web = client_of(assistant)

    file = sent(web, song, wav, pieces=3, note="Faders only", limiting="without")

    assert file.file.open().read() == wav.read_bytes()
    file.file.close()
    assert (file.state, file.original_name) == (FileState.WAITING, "mix.wav")
    made = file.deliverable
    assert (made.kind, made.version, made.note) == ("rough_mix", 1, "Faders only")
    assert (made.limiting, made.created_by) == ("without", assistant)
    assert [path.suffix for path in left_behind()] == [".wav"]
    upload = Upload.objects.get()
    answer = web.head(upload.get_absolute_url(), headers=TUS)
    assert answer["Studio-Deliverable"] == made.get_absolute_url()


def test_a_batch_is_one_deliverable_and_names_are_kept_apart(client_of, engineer, song, wav):
    web, batch = client_of(engineer), "b4c1c1f0-0000-4000-8000-000000000001"

    for name in ("Bass.wav", "bass.wav", "Piano.wav"):
        sent(web, song, wav, name=name, batch=batch, kind="stems")
    sent(web, song, wav, name="Bass.wav", kind="stems", add_to=Deliverable.objects.get().pk)

    names = Deliverable.objects.get().files.values_list("original_name", flat=True)
    assert sorted(names) == ["Bass (3).wav", "Bass.wav", "Piano.wav", "bass (2).wav"]


def test_nothing_is_added_to_what_was_judged(client_of, engineer, song):
    judged = DeliverableFactory(song=song)
    give_verdict(judged, choice=Choice.APPROVED, by=engineer)

    answer = begin(client_of(engineer), song, size=4, add_to=judged.pk)

    assert answer.status_code == 400
    assert "was judged as it is: upload this as a new version." in answer.text
    assert not Upload.objects.exists()


def test_batch_of_another_person_takes_in_nothing(client_of, engineer, manager, song, wav):
    facts = {"batch": "b4c1c1f0-0000-4000-8000-000000000001", "kind": "stems"}

    for by in (engineer, manager):
        sent(client_of(by), song, wav, **facts)

    made = Deliverable.objects.order_by("version")
    assert [(each.created_by, each.files.count()) for each in made] == [(engineer, 1), (manager, 1)]


@pytest.mark.parametrize(
    ("changed", "status"),
    [
        ({"headers": {"Tus-Resumable": "0.2"}}, 412),
        ({"content_type": "audio/wav"}, 415),
        ({"at": 1}, 409),
        ({"piece": b"12345"}, 413),
        ({"headers": {"Upload-Checksum": "sha256 AAAA"}}, 460),
        ({"headers": {"Upload-Checksum": "md5 AAAA"}}, 400),
        ({"headers": {"Upload-Offset": "-1"}}, 400),
    ],
)
def test_wrong_piece_is_refused_and_the_right_one_follows(
    client_of, engineer, song, changed, status
):
    web = client_of(engineer)
    upload = begun(web, song, size=4, kind="documentation", name="notes.txt")

    refused = send_piece(web, upload, changed.pop("piece", b"12"), **changed)
    taken = send_piece(web, upload, b"12")

    assert (refused.status_code, taken.status_code, taken["Upload-Offset"]) == (status, 204, "2")


def test_piece_over_eight_mebibytes_is_not_read(client_of, engineer, song):
    web = client_of(engineer)
    upload = begun(web, song, size=20 << 20)

    answer = send_piece(web, upload, b"R" * (arriving.PIECE_BYTES + 1))

    assert (answer.status_code, upload.offset) == (413, 0)


def test_two_windows_do_not_write_at_once(client_of, engineer, song):
    web = client_of(engineer)
    upload = begun(web, song, size=4)

    with upload.path.open("wb") as other:
        fcntl.flock(other, fcntl.LOCK_EX)
        locked = send_piece(web, upload, b"12")
    free = send_piece(web, upload, b"12")

    assert (locked.status_code, free.status_code) == (423, 204)


def test_what_a_killed_server_left_behind_the_offset_is_written_over(
    client_of, engineer, song, wav
):
    web, content = client_of(engineer), wav.read_bytes()
    upload = begun(web, song, size=len(content))
    send_piece(web, upload, content[:1000])
    with upload.path.open("ab") as file:
        file.write(b"half a piece that nobody was told of")

    send_piece(web, upload, content[1000:])

    file = DeliverableFile.objects.get()
    assert file.file.open().read() == content
    file.file.close()


def test_upload_of_another_person_is_not_there(client_of, engineer, manager):
    upload = UploadFactory(by=manager)

    answers = [
        client_of(engineer).generic(method, upload.get_absolute_url(), headers=TUS).status_code
        for method in ("HEAD", "PATCH", "DELETE")
    ]

    assert answers == [404] * 3


def test_removed_upload_leaves_nothing(client_of, engineer, song, left_behind):
    web = client_of(engineer)
    upload = begun(web, song, size=4)
    send_piece(web, upload, b"12")

    answer = web.delete(upload.get_absolute_url(), headers=TUS)

    assert (answer.status_code, Upload.objects.count(), left_behind()) == (204, 0, [])


def test_too_large_and_empty_files_are_refused_before_they_are_sent(
    client_of, engineer, song, settings
):
    settings.UPLOAD_LIMIT_BYTES = 1000
    web = client_of(engineer)

    too_large, empty = begin(web, song, size=1001), begin(web, song, size=0)

    assert (too_large.status_code, empty.status_code) == (413, 400)
    assert b"The file is empty" in empty.content
    assert not Upload.objects.exists()


def write_picture(path, wav):
    Image.new("RGB", (200, 200), "teal").save(path, "PNG")


BAD = {
    "words": (lambda path, wav: path.write_text("Verse two. " * 500), "not a sound file"),
    "picture": (write_picture, "not a sound file"),
    "cut": (
        lambda path, wav: path.write_bytes(wav.read_bytes()[:-30_000]),
        "cut short|ends before",
    ),
}


@pytest.mark.parametrize("what", BAD)
def test_what_is_no_sound_is_refused_at_once_and_leaves_nothing(
    client_of, engineer, song, wav, source, left_behind, what
):
    make, words = BAD[what]
    make(source("bad.wav"), wav)
    web = client_of(engineer)

    answer = send(web, song, source("bad.wav"))

    upload = Upload.objects.get()
    assert (answer.status_code, upload.state) == (422, UploadState.REFUSED)
    assert any(each in answer.content.decode() for each in words.split("|"))
    assert (Deliverable.objects.count(), left_behind()) == (0, [])
    assert web.head(upload.get_absolute_url(), headers=TUS).status_code == 410


def test_full_disk_is_said_and_nothing_is_half_stored(
    client_of, engineer, song, monkeypatch, left_behind
):
    web = client_of(engineer)
    upload = begun(web, song, size=4)
    send_piece(web, upload, b"1")

    def full(descriptor):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patched:
        patched.setattr(arriving.os, "fsync", full)
        answer = send_piece(web, upload, b"23")

    assert (answer.status_code, upload.offset) == (507, 1)
    assert [path.read_bytes() for path in left_behind()] == [b"1"]


def test_what_would_fill_the_disk_is_not_begun_nor_gone_on_with(
    client_of, engineer, song, monkeypatch
):
    web = client_of(engineer)
    upload = begun(web, song, size=4)
    left = SimpleNamespace(free=arriving.KEPT_FREE_BYTES + 1)
    monkeypatch.setattr(arriving.shutil, "disk_usage", lambda path: left)

    answers = [begin(web, song, size=2), send_piece(web, upload, b"12")]

    assert [answer.status_code for answer in answers] == [507, 507]
    assert (Upload.objects.get(), upload.offset) == (upload, 0)


def test_archive_is_kept_as_it_is_with_its_checksum(client_of, engineer, song, source):
    source("day.zip").write_bytes(b"PK" + bytes(2 << 20))

    file = measured(client_of(engineer), song, source("day.zip"), kind="session_archive")

    assert (file.state, len(file.sha256), file.container) == (FileState.AS_IS, 64, "")


def test_file_that_could_not_go_on_record_is_kept_and_goes_there_later(
    client_of, engineer, song, wav, monkeypatch, left_behind
):
    web, content = client_of(engineer), wav.read_bytes()
    upload = begun(web, song, size=len(content))

    class Broken:
        def enqueue(self, key):
            raise DatabaseError("database or disk is full")

    with monkeypatch.context() as patched:
        patched.setattr(actions, "measure", Broken())
        with pytest.raises(DatabaseError):
            arriving.append(upload, content, at=0)
    kept = [path.read_bytes() for path in left_behind()]
    upload.refresh_from_db()
    arriving.append(upload, b"", at=len(content))

    assert kept == [content]
    assert upload.state == UploadState.LANDED


def test_name_that_is_all_ending_is_numbered_within_its_length(client_of, engineer, song, source):
    source("notes").write_bytes(b"12 bars")
    web, facts = client_of(engineer), {"name": "a." + "b" * 253, "kind": "documentation"}
    facts["batch"] = "b4c1c1f0-0000-4000-8000-000000000001"

    files = [sent(web, song, source("notes"), **facts) for _ in range(2)]

    assert files[0].original_name != files[1].original_name
    assert [len(file.original_name) for file in files] == [255, 255]
