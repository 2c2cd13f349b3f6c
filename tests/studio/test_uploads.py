"""Uploads stream to the disk, and nothing more is written of one that is too large."""

from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import RequestFactory

from studio.uploads import OTHER_FIELDS_BYTES, LimitedUploadHandler

LIMIT = 100_000


@pytest.fixture(autouse=True)
def incoming(settings, tmp_path):
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path
    return tmp_path


def posted(**facts):
    request = RequestFactory().post("/", facts)
    request.upload_handlers = [LimitedUploadHandler(request, LIMIT)]
    return request


def sent(size):
    request = posted(note="Faders only", file=SimpleUploadedFile("a.wav", b"R" * size))
    return request.POST, request.FILES["file"]


def on_disk(upload) -> int:
    return Path(upload.temporary_file_path()).stat().st_size


def test_an_upload_is_on_the_disk_at_once(incoming):
    _, upload = sent(100_000)

    with upload:
        assert (upload.size, on_disk(upload)) == (100_000, 100_000)
        assert Path(upload.temporary_file_path()).parent == incoming


@pytest.mark.parametrize("size", [100_001, 1_000_000, 100_000 + OTHER_FIELDS_BYTES + 1])
def test_an_upload_over_the_limit_states_its_size_and_takes_no_room(size):
    fields, upload = sent(size)

    with upload:
        assert upload.size >= size
        assert on_disk(upload) == 0
        assert fields["note"] == "Faders only"


def test_what_comes_after_a_file_that_is_too_large_is_not_taken_for_whole():
    files = [SimpleUploadedFile(name, b"R" * size) for name, size in (("a", 100_001), ("b", 10))]
    request = posted(file=files[0], second=files[1])

    with request.FILES["file"], request.FILES["second"] as second:
        assert second.size > 100_000
