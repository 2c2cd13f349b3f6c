"""A null test from the page of stems to what it found."""

import pytest
from django.core.files import File
from django.urls import reverse
from django_tasks_db.models import DBTaskResult
from pytest_django.asserts import assertContains, assertNotContains

from sessions.deliverables.actions import hand_in
from sessions.deliverables.checking import checks_of
from sessions.deliverables.models import Deliverable
from sessions.deliverables.nulling.models import NullTest
from sessions.deliverables.nulling.running import run_null_test
from tests.factories import DeliverableFactory, DeliverableFileFactory, SongFactory
from tests.signals import noise, stereo, write_wav

pytestmark = pytest.mark.django_db


@pytest.fixture
def web(client_of, engineer):
    return client_of(engineer)


@pytest.fixture
def mixed(source, engineer):
    """A mix and the one stem that it is made of."""
    song, path = SongFactory(), write_wav(source("mix.wav"), stereo(noise(1, -20)))
    made = []
    for kind in ("stems", "mix"):
        with path.open("rb") as file:
            upload = File(file, name=path.name)
            made.append(hand_in(song, kind=kind, upload=upload, note="", by=engineer))
    return made


def begin(web, stems, mix):
    address = reverse("nulling:start", args=[stems.pk])
    return web.post(address, {"mix": mix.pk}, follow=True)


def verdict(stems):
    checks = checks_of(Deliverable.objects.for_list().get(pk=stems.pk))
    return next(check.verdict for check in checks if check.text == "Null test")


def test_a_null_test_is_started_done_and_kept(web, engineer, mixed):
    stems, mix = mixed
    assert verdict(stems) == "warning"

    waiting = begin(web, stems, mix.files.get())
    begin(web, stems, mix.files.get())  # pressed again
    test = NullTest.objects.get()
    assertContains(waiting, 'hx-trigger="every 2s"')
    assert waiting.context["no_worker"]
    assert DBTaskResult.objects.ready().count() == 1
    for _ in range(2):  # the second time it is done already
        run_null_test.call(test.pk)

    page = web.get(test.get_absolute_url())
    assertNotContains(page, 'hx-trigger="every')
    assertContains(page, "null against the mix exactly")
    assert (verdict(stems), NullTest.objects.get().started_by) == ("passed", engineer)
    assertContains(web.get(stems.get_absolute_url()), test.get_absolute_url())

    DeliverableFileFactory(deliverable=stems, original_name="one more.wav")
    assert verdict(stems) == "warning"


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"sample_rate": 96_000}, "only files of one sample rate can be subtracted"),
        ({"channels": 1}, "a stem needs one channel or as many as the mix"),
        ({"lossless": False}, "lossy and never nulls"),
    ],
)
def test_what_cannot_be_subtracted_is_said_at_once(web, facts, said):
    stems = DeliverableFactory(kind="stems")
    DeliverableFileFactory(deliverable=stems)
    mix = DeliverableFileFactory(deliverable__song=stems.song, deliverable__kind="mix", **facts)

    assertContains(begin(web, stems, mix), said)
    assert not NullTest.objects.exists()


def test_a_mix_of_another_song_is_no_choice(web):
    stems = DeliverableFactory(kind="stems")
    DeliverableFileFactory(deliverable=stems)

    answer = begin(web, stems, DeliverableFileFactory(deliverable__kind="mix"))

    assertContains(answer, "Choose the mix")


def test_files_that_turn_out_to_be_broken_end_the_test_in_words(web, mixed):
    stems, mix = mixed
    with open(stems.files.get().file.path, "wb") as file:
        file.write(b"RIFF" + bytes(40))
    begin(web, stems, mix.files.get())
    test = NullTest.objects.get()

    run_null_test.call(test.pk)

    assertContains(web.get(test.get_absolute_url()), "could not be decoded to its end")
