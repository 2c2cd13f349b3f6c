"""Names that would like to be something else, two of one name at once, and a disk that is full."""

import os
import re
import subprocess
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connections
from django.test import Client
from django.urls import reverse

from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.deliverables.uploads import arriving
from sessions.deliverables.uploads.models import UploadState
from tests.factories import SongFactory
from tests.sessions.deliverables.uploads.sending import begun, send_piece, sent

BATCH = "b4c1c1f0-0000-4000-8000-000000000002"
LONG = "ö" * 125 + "x.pdf"  # 255 bytes
NAMES = {
    "../../etc/passwd.pdf": "passwd.pdf",
    "..\\..\\boot.pdf": "boot.pdf",
    "..": "unnamed",
    "lyrics\r\nX-Sent: 1\x07.pdf": "lyricsX-Sent: 1.pdf",
    "lyrics\u202efdp.exe": "lyricsfdp.exe",
    '<b>lyrics</b>".pdf': 'b>".pdf',
    LONG: LONG,
}


@pytest.fixture
def song(db):
    return SongFactory()


def test_hostile_names_are_shown_harmless_and_stored_under_our_own(
    client_of, engineer, song, source, left_behind
):
    web = client_of(engineer)
    source("notes").write_bytes(b"Verse two.")

    files = [
        sent(web, song, source("notes"), name=name, kind="documentation", batch=BATCH)
        for name in NAMES
    ]

    assert [file.original_name for file in files] == list(NAMES.values())
    for file in files:
        answer = web.get(reverse("deliverables:download", args=[file.pk]))
        assert (answer.status_code, b"".join(answer.streaming_content)) == (200, b"Verse two.")
    stored = [path.name for path in left_behind()]
    assert len(stored) == len(NAMES)
    assert all(re.fullmatch(r"[0-9a-f]{32}\.(bin|pdf)", name) for name in stored), stored


def test_two_of_one_name_at_once_are_both_kept(real_database, engineer):
    song, together = SongFactory(), Barrier(2)

    def upload(content):
        web = Client()
        web.force_login(engineer, backend="studio.backends.RoleBackend")
        begins = {"size": 4, "name": "bass.pdf", "kind": "documentation", "batch": BATCH}
        arriving = begun(web, song, **begins)
        together.wait(30)
        status = send_piece(web, arriving, content).status_code
        connections.close_all()
        return status

    with ThreadPoolExecutor(2) as both:
        assert list(both.map(upload, (b"slap", b"pick"))) == [204, 204]

    files = Deliverable.objects.get().files.all()
    assert sorted(file.original_name for file in files) == ["bass (2).pdf", "bass.pdf"]
    assert sorted(file.file.read() for file in files) == [b"pick", b"slap"]
    for file in files:
        file.file.close()


@pytest.fixture
def small_disk(tmp_path, settings):
    """A file system of one mebibyte, with the store and the incoming folder on it."""
    disk = tmp_path / "disk"
    disk.mkdir()
    unmount, mount = ["umount", disk], ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", disk]
    if os.geteuid() or subprocess.run(mount, capture_output=True).returncode:
        # Also where all tests are demanded: a container may forbid it to root.
        pytest.skip("no file system can be mounted here")
    settings.MEDIA_ROOT, settings.FILE_UPLOAD_TEMP_DIR = disk / "files", disk / "incoming"
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()
    yield disk
    subprocess.run(unmount, check=True)


@pytest.mark.parametrize("foreseen", [True, False])
def test_full_disk_keeps_what_arrived_and_takes_the_rest_once_there_is_room(
    client_of, engineer, song, small_disk, monkeypatch, foreseen
):
    """Whether too little was free before the piece was written, or others took it meanwhile."""
    monkeypatch.setattr(arriving, "KEPT_FREE_BYTES", 0)
    web, half = client_of(engineer), bytes(300_000)
    upload = begun(web, song, size=600_000, name="day.zip", kind="session_archive")
    send_piece(web, upload, half)
    others = small_disk / "others"
    others.write_bytes(bytes(500_000))
    if not foreseen:
        monkeypatch.setattr(arriving, "KEPT_FREE_BYTES", -1_000_000)

    full = send_piece(web, upload, half)

    assert (full.status_code, upload.offset) == (507, 300_000)
    assert b"disk is full" in full.content
    assert upload.path.read_bytes() == half

    others.unlink()
    assert send_piece(web, upload, half).status_code == 204
    file = DeliverableFile.objects.get()
    assert (upload.state, file.size_bytes) == (UploadState.LANDED, 600_000)
    assert [path.stat().st_size for path in small_disk.rglob("*.*")] == [600_000]
