"""Each check of a single file, against the order and the habits of the trade."""

import pytest

from sessions.clients.orders import DeliverableKind, rules_for
from sessions.deliverables.checking import Outcome, checks_of, checks_of_each
from sessions.deliverables.models import Deliverable, FileState
from tests.factories import (
    DeliverableFactory,
    DeliverableFileFactory,
    PartFactory,
    ProjectFactory,
    SongFactory,
)

pytestmark = pytest.mark.django_db

CALM = {
    "sample_peak_dbfs": -3.0,
    "true_peak_dbtp": -2.8,
    "integrated_lufs": -20.0,
    "valid_bits": 24,
    "dc_offsets": [0.0, 0.0001],
}
PATTERN = "WF_{song}_{mixer}{revision}_{version}_{rate}k{depth}"


def file_with(kind=DeliverableKind.MIX, order=None, naming="", **facts):
    """A file in the format of its project that nothing can be said about, but for `facts`."""
    if "deliverable" not in facts:
        project = ProjectFactory(delivery_rules=order or {}, file_naming=naming)
        song = SongFactory(title="Neap and Spring", project=project)
        facts["deliverable"] = DeliverableFactory(kind=kind, song=song)
    return DeliverableFileFactory(**{**CALM, **facts})


def found(file):
    """What isn’t passed, as verdict and text; reasons by text beside it."""
    deliverable = Deliverable.objects.for_list().get(pk=file.deliverable_id)
    return [each for each in checks_of(deliverable) if each.verdict != Outcome.PASS]


def said(file):
    return [(each.verdict, each.text) for each in found(file)]


def test_a_file_as_ordered_passes_every_check():
    file = file_with(
        order=rules_for(["mix"], containers=["wav"], true_peak_ceiling_dbtp=-1.0),
        naming=PATTERN,
        original_name="WF_NeapAndSpring_PT01_Master_48k24.wav",
    )

    assert found(file) == []


@pytest.mark.parametrize(
    ("kind", "facts", "expected"),
    [
        ("mix", {"sample_rate": 44_100}, [("failed", "Sample rate")]),
        ("rough_mix", {"sample_rate": 44_100}, [("warning", "Sample rate")]),
        ("mix", {"bit_depth": 16, "codec": "pcm_s16le", "valid_bits": 16}, [("failed", "Bit depth")]),
        ("mix", {"bit_depth": 32, "codec": "pcm_f32le"}, [("warning", "Bit depth")]),
        ("mix", {"valid_bits": 16}, [("warning", "Bits in use")]),
        ("mix", {"container": "flac", "original_name": "a.flac"}, [("warning", "Container")]),
        ("mix", {"sample_peak_dbfs": 1.5, "true_peak_dbtp": 1.9}, [("failed", "Peaks")]),
        ("mix", {"sample_peak_dbfs": -0.2, "true_peak_dbtp": 0.04}, []),
        ("mix", {"sample_peak_dbfs": -0.2, "true_peak_dbtp": 0.06}, [("warning", "True peak")]),
        ("mix", {"sample_peak_dbfs": None, "true_peak_dbtp": None}, [("warning", "Peaks")]),
        ("mix", {"clipped_runs": [[1, 24_000, 5]], "clipped_run_count": 1}, [("failed", "Clipping")]),
        ("stems", {"dead_channels": [2]}, [("warning", "Channels")]),
        ("stems", {"identical_channels": [[1, 2]]}, [("warning", "Channels")]),
        ("stems", {"antiphase_channels": [[1, 2]]}, [("failed", "Channels")]),
        ("mix", {"dc_offsets": [0.0, -0.02]}, [("warning", "DC offset")]),
        ("mix", {"silent_frames_at_start": 96_000}, [("warning", "Silence at the ends")]),
        ("stems", {"silent_frames_at_start": 96_000}, []),
        ("mix", {"original_name": "mix.mp3"}, [("warning", "Ending")]),
        ("mix", {"original_name": "MIX.WAV"}, []),
        ("mix", {"original_name": 'mix "hot"?.wav'}, [("failed", "Name")]),
        ("mix", {"original_name": "été.wav"}, [("warning", "Name")]),
        ("stems", {"original_name": "Audio 1_03.wav"}, [("warning", "Name")]),
        ("mix", {"state": FileState.WAITING}, [("warning", "Measuring")]),
        ("mix", {"state": FileState.REFUSED, "refusal": "It is cut short."}, [("failed", "Measuring")]),
    ],
)  # fmt: skip
def test_what_is_told_of_a_file(kind, facts, expected):
    file = file_with(kind=kind, **facts)
    of_the_set = {"Files", "Time stamps", "Documentation", "Not seen here", "Null test"}

    assert [each for each in said(file) if each[1] not in of_the_set] == expected


@pytest.mark.parametrize(
    ("kind", "verdict"), [("rough_mix", "note"), ("mix", "failed"), ("instrumental", "failed")]
)
def test_lossy_sound_is_good_to_listen_to_only(kind, verdict):
    lossy = {"container": "mp3", "codec": "mp3float", "lossless": False, "bit_depth": None}
    file = file_with(kind=kind, original_name="a.mp3", valid_bits=None, **lossy)

    assert said(file) == [(verdict, "Lossy")]


def test_the_order_comes_before_the_format_of_the_recording():
    order = rules_for(
        ["mix"],
        containers=["aiff"],
        sample_rate=44_100,
        bit_depth=16,
        true_peak_ceiling_dbtp=0.0,
    )
    file = file_with(order=order, true_peak_dbtp=0.3, sample_peak_dbfs=-0.1)

    checks = found(file)

    assert {each.text: each.reason for each in checks} == {
        "Container": "The file is WAV; AIFF is ordered.",
        "Sample rate": "The file has 48 kHz; 44.1 kHz is ordered.",
        "Bit depth": "The file has 24 bit; 16 bit is ordered.",
        "True peak": "0.3 dBTP; the ceiling is 0.0 dBTP. Turned down by 0.3 dB it keeps it.",
    }
    assert checks[0].source == f"the order of {file.deliverable.song.project}"
    assert [each.verdict for each in checks] == ["failed", "failed", "warning", "failed"]


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("bad.wav", "“bad.wav” doesn’t follow WF_"),
        ("WF_NeapAndSpring_PT01_Master_96k24.wav", "The name says 96k, the file has 48 kHz."),
        ("WF_NeapAndSpring_PT01_Master_48k16.wav", "The name says 16 bit, the file has 24 bit."),
        ("WF_SlowLantern_PT01_Master_48k24.wav", "The name says SlowLantern, the song is Neap"),
        ("WF_NeapAndSpringTides_PT01_Master_48k24.wav", "The song’s title has 18 letters"),
    ],
)
def test_names_are_held_to_the_projects_naming(name, reason):
    [check] = found(file_with(naming=PATTERN, original_name=name))

    assert check.text == "Naming"
    assert check.reason.startswith(reason)
    if name == "bad.wav":
        assert check.reason.endswith("For example WF_NeapAndSpring_MI01_Master_48k24.wav.")


def test_a_naming_that_is_no_pattern_is_said_and_breaks_nothing():
    [check] = found(file_with(naming="as usual"))

    assert (check.verdict, check.text) == ("warning", "Naming")


def test_the_same_content_again_is_a_warning_within_the_song():
    first = file_with(sha256="a" * 64)
    again = file_with(
        sha256="a" * 64, deliverable=DeliverableFactory(song=first.deliverable.song, kind="mix")
    )
    elsewhere = file_with(sha256="a" * 64)

    [check] = found(again)
    assert f"the same file as {first.deliverable}" in check.reason
    assert found(first) == found(elsewhere) == []


def test_places_of_clipping_are_named():
    runs = [[1, 24_000, 5], [2, 48_000 * 61, 3], [1, 48_000 * 62, 3], [1, 48_000 * 63, 3]]

    [check] = found(file_with(clipped_runs=runs, clipped_run_count=140))

    assert check.reason.startswith(
        "140 runs of samples at full scale, at 0:00.5 (left), 1:01.0 (right), 1:02.0 (left) and 137 "
    )


def test_checks_cost_the_same_for_many_deliverables(django_assert_num_queries):
    song = SongFactory()
    PartFactory(song=song)
    for kind in ("mix", "stems", "multitrack"):
        for _ in range(3):
            DeliverableFileFactory(deliverable=DeliverableFactory(song=song, kind=kind))
    loaded = list(Deliverable.objects.for_list())

    for some in (loaded[:1], loaded):
        with django_assert_num_queries(3):
            assert len(checks_of_each(some)) == len(some)
