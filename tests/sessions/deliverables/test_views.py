"""The pages of deliverables, through a web client and with real files."""

import pytest
from django.urls import reverse
from pytest_django.asserts import assertContains, assertNotContains

from sessions.deliverables.models import DeliverableFile, FileState
from tests.factories import DeliverableFactory, DeliverableFileFactory, SongFactory
from tests.sessions.deliverables.uploads.sending import measured
from tests.signals import bext, silence, stereo, write_wav

pytestmark = pytest.mark.django_db


@pytest.fixture
def song():
    return SongFactory(title="Slow the Lantern")


def page_of(web, song, path):
    """The deliverable's page once its file is uploaded and measured."""
    return web.get(measured(web, song, path).deliverable.get_absolute_url())


def test_the_same_file_again_is_taken_and_pointed_out(client_of, engineer, song, sound, source):
    web = client_of(engineer)
    path = write_wav(source("mix.wav"), sound)
    measured(web, song, path)

    page = page_of(web, song, path)

    assert page.context["deliverable"].version == 2
    assertContains(page, "the same file as Rough mix 1")


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
    assertContains(page, reverse("deliverables:upload", args=[song.pk]), count=1)


def test_detail_shows_every_figure_with_its_unit(client_of, engineer, song, hot_sound, source):
    web = client_of(engineer)
    path = write_wav(source("mix.wav"), hot_sound, before=bext(b"Straight after the session"))
    page = page_of(web, song, path)

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
    ):
        assertContains(page, shown)
    player = reverse("deliverables:download", args=[file.pk]) + "?listen"
    assertContains(page, f'<audio controls preload="metadata" src="{player}"')
    assertContains(page, "<title>Waveform of mix.wav, 0:01.0 long</title>")
    assertNotContains(page, "style=")


def test_detail_of_silence_has_no_readings_and_says_so(client_of, engineer, song, source):
    web = client_of(engineer)
    page = page_of(web, song, write_wav(source("a.wav"), stereo(silence(1))))

    assertContains(page, "The file is silent from beginning to end.")
    assertContains(page, "not measured", count=8)  # four readings, and two of the player


def test_detail_shows_hostile_names_as_text(client_of, engineer):
    file = DeliverableFileFactory(original_name="<img src=x onerror=alert(1)>.wav")

    page = client_of(engineer).get(file.deliverable.get_absolute_url())

    assertNotContains(page, "<img src=x")
    assertContains(page, "&lt;img src=x onerror=alert(1)&gt;.wav")


@pytest.mark.parametrize("files", [1, 3])
def test_page_of_waiting_files_asks_how_far_they_are_until_they_are_measured(
    client_of, engineer, song, files, django_assert_num_queries
):
    deliverable = DeliverableFactory(song=song)
    for _ in range(files):
        waiting = DeliverableFileFactory(deliverable=deliverable, state=FileState.WAITING)
    address = reverse("deliverables:progress", args=[deliverable.pk])
    web = client_of(engineer)

    page = web.get(deliverable.get_absolute_url())
    with django_assert_num_queries(5):
        part = web.get(address)
    deliverable.files.update(state=FileState.MEASURED)
    done = web.get(address)

    assertContains(page, f'hx-get="{address}"')
    assertContains(part, f'hx-get="{address}"')
    assertContains(part, waiting.original_name)
    assert part.context["progress"]["no_worker"]
    assertNotContains(done, "hx-get")
    assert ("HX-Trigger" in part, done["HX-Trigger"]) == (False, "load-again")
