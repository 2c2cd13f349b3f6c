"""The pages of deliverables, through a web client and with real files."""

import tracemalloc
from dataclasses import asdict

import numpy as np
import pytest
from django.urls import reverse
from PIL import Image
from pytest_django.asserts import assertContains, assertNotContains, assertRedirects

from sessions.deliverables.measuring import measure
from sessions.deliverables.models import SOUND_KINDS, Deliverable, DeliverableFile
from sessions.editing.presses import FIELD, new_number
from tests.factories import DeliverableFactory, DeliverableFileFactory, SongFactory
from tests.signals import bext, encode, silence, stereo, tone, write_aiff, write_wav

pytestmark = pytest.mark.django_db


@pytest.fixture
def song():
    return SongFactory(title="Slow the Lantern")


def upload_url(song):
    return reverse("deliverables:upload", args=[song.pk])


def send(web, song, path, **facts):
    with path.open("rb") as file:
        data = {"kind": "rough_mix", "note": "Faders only", "file": file, **facts}
        return web.post(upload_url(song), data)


MAKERS = {
    "a.wav": lambda path, sound: write_wav(path, sound, before=bext(b"Rough mix")),
    "a.aiff": write_aiff,
    "a.flac": lambda path, sound: encode(path, sound, "flac", sample_format="s32"),
    "a.mp3": lambda path, sound: encode(path, sound, "libmp3lame"),
}


@pytest.mark.parametrize("name", MAKERS)
def test_upload_stores_what_is_measured(client_of, assistant, song, sound, source, name):
    path = MAKERS[name](source(name), sound)

    answer = send(client_of(assistant), song, path)

    deliverable = Deliverable.objects.get()
    assertRedirects(answer, deliverable.get_absolute_url())
    assert (deliverable.song, deliverable.kind, deliverable.version) == (song, "rough_mix", 1)
    assert (deliverable.note, deliverable.created_by) == ("Faders only", assistant)
    measured, file = measure(path), deliverable.files.get()
    for figure, value in asdict(measured).items():
        assert getattr(file, figure) == value, figure
    assert file.duration_seconds == float(measured.duration_seconds)
    assert file.file.open().read() == path.read_bytes()
    file.file.close()


def write_text(path, sound):
    path.write_text("Verse two was the better one. " * 500)


def write_image(path, sound):
    Image.new("RGB", (200, 200), "teal").save(path, "PNG")


def write_truncated(path, sound):
    write_wav(path, sound)
    path.write_bytes(path.read_bytes()[:-30_000])


def write_liar(path, sound):
    write_wav(path, sound, data_size=len(sound) * 6 // 2)


def write_nothing(path, sound):
    path.touch()


@pytest.mark.parametrize(
    ("write", "said"),
    [
        (write_text, "not a sound file"),
        (write_image, "not a sound file"),
        (write_truncated, "cut short"),
        (write_liar, "export it again"),
        (write_nothing, "The file is empty"),
    ],
)
def test_upload_that_cannot_be_measured_leaves_nothing(
    client_of, engineer, song, sound, source, left_behind, write, said
):
    path = source("mix.wav")
    write(path, sound)

    answer = send(client_of(engineer), song, path, kind="stems", note="Second verse redone")

    assert answer.status_code == 422
    assert said in answer.context["form"].errors["file"][0]
    assertContains(answer, "Second verse redone</textarea>", status_code=422)
    assertContains(answer, '<option value="stems" selected>', status_code=422)
    assert not Deliverable.objects.exists()
    assert not DeliverableFile.objects.exists()
    assert left_behind() == []


def test_upload_over_the_limit_is_refused_beside_the_field(
    client_of, engineer, song, sound, source, left_behind, settings
):
    path = write_wav(source("mix.wav"), sound)
    settings.UPLOAD_LIMIT_BYTES = path.stat().st_size - 1

    answer = send(client_of(engineer), song, path)

    assert answer.status_code == 422
    [said] = answer.context["form"].errors["file"]
    assert "The file has 281.7" in said
    assert "at most 281.3" in said
    assertContains(answer, "Faders only</textarea>", status_code=422)
    assert not Deliverable.objects.exists()
    assert left_behind() == []


def test_upload_just_within_the_limit_is_taken(client_of, engineer, song, sound, source, settings):
    path = write_wav(source("mix.wav"), sound)
    settings.UPLOAD_LIMIT_BYTES = path.stat().st_size

    send(client_of(engineer), song, path)

    assert DeliverableFile.objects.get().size_bytes == path.stat().st_size


def test_upload_without_a_file_says_what_to_do(client_of, engineer, song):
    answer = client_of(engineer).post(upload_url(song), {"kind": "rough_mix", "note": "Loud"})

    assertContains(answer, "Choose the file to upload.", status_code=422)
    assertContains(answer, "Loud</textarea>", status_code=422)


def test_upload_of_nothing_at_all_is_refused(client_of, engineer, song):
    assert client_of(engineer).post(upload_url(song)).status_code == 422


def test_upload_offers_only_kinds_that_are_sound(client_of, engineer, song, sound, source):
    web = client_of(engineer)

    page = web.get(upload_url(song))
    answer = send(web, song, write_wav(source("mix.wav"), sound), kind="documentation")

    kinds = [value for value, _ in page.context["form"].fields["kind"].choices]
    assert kinds == list(SOUND_KINDS)
    assert page.context["form"]["kind"].value() == "rough_mix"
    assert (answer.status_code, Deliverable.objects.count()) == (422, 0)


def test_upload_of_the_same_file_again_is_taken_and_pointed_out(
    client_of, engineer, song, sound, source
):
    web = client_of(engineer)
    path = write_wav(source("mix.wav"), sound)
    send(web, song, path)

    answer = send(web, song, path)

    newest = Deliverable.objects.get(version=2)
    page = web.get(answer["Location"])
    assertContains(page, f"{newest} uploaded and measured.")
    assertContains(page, "the same file as Rough mix 1")


def test_upload_that_is_sent_twice_is_one_deliverable(client_of, assistant, song, sound, source):
    """It is measured before the transaction, and claims its press within."""
    path, web = write_wav(source("mix.wav"), sound), client_of(assistant)
    number = new_number()

    answers = [send(web, song, path, **{FIELD: number}) for _ in range(2)]

    assert {answer.url for answer in answers} == {Deliverable.objects.get().get_absolute_url()}
    assert DeliverableFile.objects.count() == 1


def test_a_mix_engineer_hands_in_for_songs_of_their_projects_only(
    client_of, mix_engineer, mixed_project, song, sound, source
):
    web = client_of(mix_engineer)
    path = write_wav(source("mix.wav"), sound)
    theirs = SongFactory(project=mixed_project)
    foreign = DeliverableFactory(song=song)

    assert send(web, theirs, path).status_code == 302
    assert send(web, song, path).status_code == 404
    for name, row in (("list", song), ("upload", song), ("detail", foreign)):
        assert web.get(reverse(f"deliverables:{name}", args=[row.pk])).status_code == 404
    assert not song.deliverables.exclude(pk=foreign.pk).exists()


@pytest.mark.parametrize("rows", [1, 3])
def test_list_costs_the_same_for_many(client_of, engineer, song, rows, django_assert_num_queries):
    for _ in range(rows):
        DeliverableFileFactory(deliverable=DeliverableFactory(song=song))
    client = client_of(engineer)

    with django_assert_num_queries(9):
        page = client.get(reverse("deliverables:list", args=[song.pk]))

    assert len(page.context["deliverables"]) == rows
    assertContains(page, "slow_the_lantern.wav", count=rows)


def test_list_shows_the_figures_newest_first(client_of, engineer, song):
    DeliverableFileFactory(
        deliverable=DeliverableFactory(song=song, version=1),
        true_peak_dbtp=-1.04,
        integrated_lufs=-18.46,
        frames=48_000 * 185,
    )
    DeliverableFileFactory(deliverable=DeliverableFactory(song=song, version=2))
    DeliverableFileFactory()

    page = client_of(engineer).get(reverse("deliverables:list", args=[song.pk]))

    assert [each.version for each, _ in page.context["deliverables"]] == [2, 1]
    for shown in ("−1.0", "−18.5", "3:05.0", "WAV, 48 kHz, 24 bit"):
        assertContains(page, shown)


def test_list_of_a_song_without_any_offers_the_upload(client_of, engineer, song):
    page = client_of(engineer).get(reverse("deliverables:list", args=[song.pk]))

    assertContains(page, "Nothing uploaded yet")
    assertContains(page, upload_url(song), count=1)


def test_detail_shows_every_figure_with_its_unit(client_of, engineer, song, hot_sound, source):
    web = client_of(engineer)
    path = write_wav(source("mix.wav"), hot_sound, before=bext(b"Straight after the session"))
    page = web.get(send(web, song, path)["Location"])

    file = DeliverableFile.objects.get()
    assert file.levels["true_peak_dbtp"] == pytest.approx(3, abs=0.1)
    for shown in (
        f"{file.levels['true_peak_dbtp']} dBTP",
        f"{file.levels['integrated_lufs']} LUFS".replace("-", "−"),
        "not measured",
        "48 kHz",
        "24 bit",
        "stereo",
        "48,000 samples per channel",
        file.sha256,
        "above full scale",
        "Loudness range needs at least a minute of sound.",
        "Straight after the session",
        "common practice",
        "Faders only",
    ):
        assertContains(page, shown)
    player = reverse("deliverables:download", args=[file.pk]) + "?listen"
    assertContains(page, f'<audio controls preload="metadata" src="{player}"')
    assertContains(page, "<title>Waveform of mix.wav, 0:01.0 long</title>")
    assertNotContains(page, "style=")


def test_detail_of_silence_has_no_readings_and_says_so(client_of, engineer, song, source):
    web = client_of(engineer)
    page = web.get(send(web, song, write_wav(source("a.wav"), stereo(silence(1))))["Location"])

    assertContains(page, "The file is silent from beginning to end.")
    assertContains(page, "not measured", count=6)  # four readings, and two of the player


def test_detail_shows_hostile_names_as_text(client_of, engineer):
    file = DeliverableFileFactory(original_name="<img src=x onerror=alert(1)>.wav")

    page = client_of(engineer).get(file.deliverable.get_absolute_url())

    assertNotContains(page, "<img src=x")
    assertContains(page, "&lt;img src=x onerror=alert(1)&gt;.wav")


def test_a_long_file_goes_through_with_little_memory(client_of, engineer, song, source):
    path = write_wav(source("long.wav"), np.tile(stereo(tone(1, -20)), (140, 1)))
    body = source("body")
    body.write_bytes(
        b'--pier\r\nContent-Disposition: form-data; name="kind"\r\n\r\nrough_mix\r\n--pier\r\n'
        b'Content-Disposition: form-data; name="file"; filename="long.wav"\r\n\r\n'
        + path.read_bytes()
        + b"\r\n--pier--\r\n"
    )
    web = client_of(engineer)

    with body.open("rb") as sent:
        tracemalloc.start()
        answer = web.generic(
            "POST",
            upload_url(song),
            CONTENT_TYPE="multipart/form-data; boundary=pier",
            CONTENT_LENGTH=str(body.stat().st_size),
            **{"wsgi.input": sent},
        )
        _, most = tracemalloc.get_traced_memory()
        tracemalloc.stop()

    assert answer.status_code == 302
    assert DeliverableFile.objects.get().size_bytes > 40_000_000
    assert most < 24_000_000
