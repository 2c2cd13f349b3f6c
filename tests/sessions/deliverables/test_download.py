"""The file goes out as it came in, whole or in stretches, and to those only who may have it."""

import pytest
from django.urls import reverse

from tests.factories import DeliverableFactory, DeliverableFileFactory, SongFactory

pytestmark = pytest.mark.django_db
CONTENT = bytes(range(256)) * 1000


@pytest.fixture
def file():
    return DeliverableFileFactory(
        file__data=CONTENT,
        file__filename="0123.wav",
        original_name="Möwe 1.wav",
        size_bytes=len(CONTENT),
        sha256="ab" * 32,
    )


def address(file):
    return reverse("deliverables:download", args=[file.pk])


def test_download_is_the_very_file_under_its_own_name(client_of, engineer, file):
    answer = client_of(engineer).get(address(file))

    assert answer.getvalue() == CONTENT
    assert answer["Content-Length"] == str(len(CONTENT))
    assert answer["Content-Type"] == "audio/wav"
    assert answer["Content-Disposition"] == "attachment; filename*=utf-8''M%C3%B6we%201.wav"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Accept-Ranges"] == "bytes"


def test_the_player_gets_it_inline(client_of, engineer, file):
    answer = client_of(engineer).get(address(file) + "?listen")

    assert answer["Content-Disposition"].startswith("inline")
    assert answer.getvalue() == CONTENT


def test_a_container_without_a_name_of_ours_goes_out_as_plain_bytes(client_of, engineer, file):
    file.container = "text/html"
    file.save()

    answer = client_of(engineer).get(address(file) + "?listen")

    assert answer["Content-Type"] == "application/octet-stream"
    answer.close()


@pytest.mark.parametrize(
    ("wanted", "first", "last"),
    [("0-0", 0, 0), ("1000-200000", 1000, 200_000), ("255990-", 255_990, 255_999)],
)
def test_a_stretch_of_the_file(client_of, engineer, file, wanted, first, last):
    answer = client_of(engineer).get(address(file), headers={"Range": f"bytes={wanted}"})

    assert answer.status_code == 206
    assert answer["Content-Range"] == f"bytes {first}-{last}/{len(CONTENT)}"
    assert answer["Content-Length"] == str(last - first + 1)
    assert answer.getvalue() == CONTENT[first : last + 1]


def test_a_stretch_behind_the_end(client_of, engineer, file):
    answer = client_of(engineer).get(address(file), headers={"Range": "bytes=256000-"})

    assert answer.status_code == 416
    assert answer["Content-Range"] == f"bytes */{len(CONTENT)}"
    assert answer.content == b""


def test_a_browser_that_has_the_file_is_told_so(client_of, engineer, file):
    answer = client_of(engineer).get(address(file), headers={"If-None-Match": f'"{file.sha256}"'})

    assert (answer.status_code, answer.content) == (304, b"")


def test_a_file_that_is_gone_from_the_store_is_not_found(client_of, engineer, file):
    file.file.delete(save=False)
    type(file).objects.filter(pk=file.pk).update(file="audio/gone.wav")

    assert client_of(engineer).get(address(file)).status_code == 404


def test_a_mix_engineer_gets_the_files_of_their_projects_only(
    client_of, mix_engineer, mixed_project, file
):
    song = SongFactory(project=mixed_project)
    theirs = DeliverableFileFactory(deliverable=DeliverableFactory(song=song))
    web = client_of(mix_engineer)

    assert web.get(address(theirs)).getvalue() == b"RIFF"
    assert web.get(address(file)).status_code == 404
