"""Light copies: made once by the worker, as loud and as long as what they are copied from."""

import pytest

from sessions.deliverables.listening import light_copies
from sessions.deliverables.listening.models import LightCopy, files_without_a_light_copy
from sessions.deliverables.measuring import measure
from sessions.deliverables.models import FileState
from tests.factories import DeliverableFactory, DeliverableFileFactory
from tests.signals import noise, stereo, tone, write_aiff, write_wav

pytestmark = pytest.mark.django_db


def file_of(path, **facts):
    """On record as it was measured."""
    measured = measure(path)
    kept = ("container", "codec", "sample_rate", "channels", "frames", "sha256")
    kept += ("integrated_lufs", "true_peak_dbtp")
    facts |= {name: getattr(measured, name) for name in kept}
    return DeliverableFileFactory(file__from_path=str(path), original_name=path.name, **facts)


@pytest.mark.parametrize(("rate", "write"), [(44_100, write_wav), (96_000, write_aiff)])
def test_a_light_copy_is_as_loud_and_as_long_as_the_mix(source, rate, write):
    """Outside: decoded again, it has the loudness that is stated, and the mix's own."""
    mix = tone(2, -9, hz=220, rate=rate) + tone(2, -20, hz=4_000, rate=rate)
    hiss = noise(2, -50, rate=rate)  # what lies beyond 20 kHz no light copy keeps
    file = file_of(write(source("mix.wav"), stereo(mix + hiss), rate=rate))

    light_copies.make_light_copy.func(LightCopy.objects.create(source=file).pk)

    copy = LightCopy.objects.get(source=file)
    decoded = measure(copy.file.path)
    assert (copy.failure, copy.codec, decoded.container) == ("", "aac", "mp4")
    assert copy.integrated_lufs == pytest.approx(decoded.integrated_lufs, abs=0.01)
    assert copy.integrated_lufs == pytest.approx(file.integrated_lufs, abs=0.5)
    assert abs(copy.duration_seconds - 2) <= 2 * 1024 / decoded.sample_rate
    assert (copy.sha256, copy.size_bytes) == (decoded.sha256, decoded.size_bytes)
    head = copy.file.open().read(100_000)
    copy.file.close()
    assert head.index(b"moov") < head.index(b"mdat")  # it plays before it is all there


def test_made_once_however_often_the_task_runs(source):
    copy = LightCopy.objects.create(
        source=file_of(write_wav(source("mix.wav"), stereo(noise(1, -9))))
    )

    light_copies.make_light_copy.func(copy.pk)
    first = LightCopy.objects.get().file.name
    light_copies.make_light_copy.func(copy.pk)

    assert LightCopy.objects.get().file.name == first


def test_what_cannot_be_copied_says_so_and_is_not_tried_for_ever():
    file = DeliverableFileFactory()  # four bytes that are no sound

    light_copies.want_missing()
    light_copies.make_light_copy.func(file.light_copy.pk)

    copy = LightCopy.objects.get()
    assert (copy.made_at, bool(copy.file), bool(copy.failure)) == (None, False, True)
    light_copies.want_missing()
    assert LightCopy.objects.count() == 1


def test_mixes_get_one_and_what_browsers_do_not_play():
    def file(kind, container="wav", state=FileState.MEASURED):
        deliverable = DeliverableFactory(kind=kind)
        return DeliverableFileFactory(deliverable=deliverable, container=container, state=state)

    wanted = [file("rough_mix"), file("mix", "aiff"), file("stems", "aiff")]
    file("stems")
    file("mix", state=FileState.WAITING)
    file("session_archive", "", FileState.AS_IS)

    assert set(files_without_a_light_copy()) == set(wanted)
    for _ in range(2):
        light_copies.want_missing()
    assert LightCopy.objects.count() == len(wanted)
