"""What is worth knowing about a file, rule by rule."""

import pytest

from sessions.deliverables.broadcast import notes_inside
from sessions.deliverables.models import DeliverableKind
from sessions.deliverables.remarks import remarks_on
from tests.factories import DeliverableFactory, DeliverableFileFactory, SongFactory

pytestmark = pytest.mark.django_db


def file_with(**facts):
    """A file in the format of its project that nothing can be said about, but for `facts`."""
    calm = {"sample_peak_dbfs": -3.0, "true_peak_dbtp": -2.8, "integrated_lufs": -20.0}
    return DeliverableFileFactory(**{**calm, **facts})


def warnings(file):
    return [remark.text for remark in remarks_on(file, of=file.deliverable) if remark.warning]


def test_nothing_is_said_about_a_file_as_ordered():
    file = file_with()

    assert remarks_on(file, of=file.deliverable) == []


@pytest.mark.parametrize(
    ("peak", "said"), [(-0.1, False), (0.0, False), (0.04, False), (0.06, True), (2.97, True)]
)
def test_true_peak_is_judged_on_the_tenth_that_is_shown(peak, said):
    found = warnings(file_with(sample_peak_dbfs=-0.2, true_peak_dbtp=peak))

    assert bool(found) is said
    if said:
        assert f"{round(peak, 1):.1f} dB above full scale" in found[0]


def test_samples_over_full_scale_are_one_warning():
    [warning] = warnings(file_with(sample_peak_dbfs=1.5, true_peak_dbtp=1.9))

    assert warning.startswith("Samples are 1.5 dB above full scale.")


def test_silence_is_a_warning():
    silent = file_with(sample_peak_dbfs=None, true_peak_dbtp=None, integrated_lufs=None)

    assert warnings(silent) == ["The file is silent from beginning to end."]


def test_another_format_than_the_projects_is_a_warning():
    found = warnings(file_with(sample_rate=44_100, bit_depth=16))

    assert found == [
        "The file has a sample rate of 44.1 kHz; the project is recorded at 48 kHz.",
        "The file has 16 bit; the project is recorded with 24 bit.",
    ]


def test_whole_numbers_of_32_bit_are_not_floating_point():
    deliverable = DeliverableFactory(song__project__bit_depth=32)
    file = file_with(deliverable=deliverable, bit_depth=32, codec="pcm_s32le")

    [warning] = warnings(file)
    file.codec = "pcm_f32le"

    assert warning == "The file has 32 bit; the project is recorded with 32 bit float."
    assert not warnings(file)


@pytest.mark.parametrize(
    ("kind", "warning"), [(DeliverableKind.ROUGH_MIX, False), (DeliverableKind.STEMS, True)]
)
def test_a_lossy_file_is_good_to_listen_to_only(kind, warning):
    file = file_with(
        deliverable=DeliverableFactory(kind=kind),
        container="mp3",
        codec="mp3float",
        lossless=False,
        bit_depth=None,
        original_name="mix.mp3",
    )

    [remark] = remarks_on(file, of=file.deliverable)

    assert remark.warning is warning
    assert remark.text.startswith("MPEG layer III is lossy")
    assert "common practice" in remark.basis


def test_a_name_that_says_another_format_is_a_warning():
    assert not warnings(file_with(original_name="MIX.WAV"))
    assert not warnings(file_with(container="avi", original_name="mix.avi"))
    [warning] = warnings(file_with(original_name="mix.mp3"))
    assert "“.mp3”, but the file is WAV" in warning


def test_the_same_content_again_is_a_warning_within_the_song():
    song = SongFactory()
    first = file_with(sha256="a" * 64, deliverable=DeliverableFactory(song=song, version=1))
    again = file_with(sha256="a" * 64, deliverable=DeliverableFactory(song=song, version=2))
    elsewhere = file_with(sha256="a" * 64)

    assert "the same file as Rough mix 1" in warnings(again)[0]
    assert not warnings(first)
    assert not warnings(elsewhere)


def test_notes_of_the_measurement_come_last():
    file = file_with(notes=["Loudness range needs at least a minute of sound."], sample_rate=96_000)

    remarks = remarks_on(file, of=file.deliverable)

    assert [remark.warning for remark in remarks] == [True, False]
    assert remarks[1].text == "Loudness range needs at least a minute of sound."


def test_notes_inside_leave_out_what_is_not_written():
    bext = {
        "description": "Rough mix",
        "originator": "",
        "originator_reference": "",
        "origination_date": "2025-03-14",
        "origination_time": "10:00:00",
        "coding_history": "",
        "time_reference": 48_000 * 3661 + 5,
    }
    ixml = {"project": "", "scene": "", "tape": "", "take": "7", "track_names": ["Ld Vox", "Bass"]}

    assert notes_inside(file_with(bext=bext, ixml=ixml)) == [
        ("Description", "Rough mix"),
        ("Date", "2025-03-14"),
        ("Time", "10:00:00"),
        ("Time stamp", "01:01:01 and 5 samples (175,728,005 samples after midnight)"),
        ("Take", "7"),
        ("Tracks", "Ld Vox, Bass"),
    ]
    assert notes_inside(file_with()) == []


@pytest.mark.parametrize(
    ("frames", "rate", "length"),
    [
        (48_000, 48_000, "0:01.0"),
        (44_100 * 60 - 1, 44_100, "1:00.0"),
        (96_000 * 185 + 19_200, 96_000, "3:05.2"),
        (48_000 * 3661, 48_000, "1:01:01.0"),
        (1, 48_000, "0:00.0"),
    ],
)
def test_length_in_words(frames, rate, length):
    assert file_with(frames=frames, sample_rate=rate).length == length


def test_levels_are_never_minus_nought():
    assert str(file_with(sample_peak_dbfs=-0.000001).levels["sample_peak_dbfs"]) == "0.0"
