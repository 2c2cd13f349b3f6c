"""Checks of stems and multitracks as a whole."""

import pytest

from sessions.clients.orders import rules_for
from sessions.deliverables.checking import Checked, Outcome, checks_of
from sessions.deliverables.models import Deliverable, FileState
from tests.factories import (
    DeliverableFactory,
    DeliverableFileFactory,
    ProjectFactory,
    SongFactory,
    TakeFactory,
)

pytestmark = pytest.mark.django_db

OF_FILES = {"valid_bits": 24, "sample_peak_dbfs": -3.0, "true_peak_dbtp": -2.0}


def set_of(*files, kind="stems", order=None, **song):
    """Files by name and what is special about them, each with a time stamp at midnight."""
    known = {"key": "C minor", "tempo_map": [{"bar": 1, "bpm": 126}]} | song
    known["project"] = ProjectFactory(delivery_rules=order or {})
    deliverable = DeliverableFactory(kind=kind, song=SongFactory(**known))
    for number, (name, facts) in enumerate(files):
        facts = {"bext": {"time_reference": 0}, "sha256": str(number) * 64} | facts
        DeliverableFileFactory(deliverable=deliverable, original_name=name, **{**OF_FILES, **facts})
    return Deliverable.objects.for_list().get(pk=deliverable.pk)


def said(deliverable):
    """What isn’t passed; the null test has tests of its own."""
    return [
        (each.verdict, each.text, each.reason)
        for each in checks_of(deliverable)
        if each.verdict in (Outcome.FAIL, Outcome.WARNING) and each.text != "Null test"
    ]


def test_a_set_that_begins_and_ends_together_passes():
    order = rules_for(["stems"], stems=["Brass", "Lead vocal"], same_length=True, time_stamps=True)

    assert said(set_of(("Brass.wav", {}), ("LeadVocal_02.wav", {}), order=order)) == []


def test_stems_that_were_ordered_by_name_must_be_there():
    order = rules_for(["stems"], stems=["Brass", "Rhythm", "Lead vocal"])
    stems = set_of(("Brass.wav", {}), ("Vox.wav", {}), order=order)

    assert said(stems) == [("failed", "Stems", "No file is named for Rhythm, Lead vocal.")]


def test_a_bass_drum_is_no_bass_and_any_script_has_letters():
    order = rules_for(["stems"], stems=["Bass", "Bass drum", "Корнет"])
    stems = set_of(("BassDrum_In.wav", {}), ("BassDrum_Out.wav", {}), order=order)

    assert ("failed", "Stems", "No file is named for Bass, Корнет.") in said(stems)


@pytest.mark.parametrize(("each_part", "verdict"), [(True, "failed"), (False, "warning")])
def test_a_multitrack_has_a_file_for_every_recorded_part(each_part, verdict):
    order = rules_for(["multitrack"], each_part=each_part)
    tracks = set_of(("Cornet.wav", {}), ("Drums.wav", {}), kind="multitrack", order=order)
    for part in ("Cornet", "Tenor horn"):
        TakeFactory(part__song=tracks.song, part__name=part)

    assert said(tracks) == [(verdict, "Parts", "No file is named for Tenor horn.")]


def test_a_second_rate_in_one_folder_fails():
    odd = {"sample_rate": 96_000, "frames": 96_000}

    failed = said(set_of(("Brass.wav", {}), ("Drums.wav", odd)))

    assert [text for verdict, text, _ in failed if verdict == "failed"] == [
        "Sample rate",
        "One format",
        "Time stamps",
    ]


@pytest.mark.parametrize(
    ("order", "verdict"), [({}, "warning"), (rules_for(["stems"], same_length=True), "failed")]
)
def test_lengths_that_differ_are_told(order, verdict):
    stems = set_of(("Brass.wav", {}), ("Drums.wav", {"frames": 24_000}), order=order)

    assert said(stems) == [
        (
            verdict,
            "Length",
            "The longest is 0:01.0 long, but Drums.wav is 0:00.5: consolidate from one start to one end.",
        )
    ]


def test_time_stamps_that_differ_fail_and_missing_ones_warn():
    apart = set_of(("Brass.wav", {}), ("Drums.wav", {"bext": {"time_reference": 480}}))
    bare = set_of(("Brass.wav", {}), ("Drums.wav", {"bext": None}))

    assert [each[:2] for each in said(apart)] == [("failed", "Time stamps")]
    assert [each[:2] for each in said(bare)] == [("warning", "Time stamps")]


def test_nothing_is_passed_in_common_while_a_file_is_measured():
    waits = {"state": FileState.MEASURING, "frames": None, "sample_rate": None, "bext": None}
    stems = set_of(("Brass.wav", {}), ("Drums.wav", waits))

    texts = {each.text for each in checks_of(stems)}

    assert [each[:2] for each in said(stems)] == [("warning", "Measuring")]
    assert not texts & {"One format", "Time stamps", "Length"}


def test_wet_prints_have_their_dry_ones():
    tracks = set_of(
        ("Vox_WET.wav", {}), ("Vox_DRY.wav", {}), ("Horn_WET.wav", {}), kind="multitrack"
    )

    [(_, text, reason)] = said(tracks)

    assert (text, reason.endswith("alone stands Horn_WET.")) == ("Wet and dry", True)


def test_documentation_that_was_ordered_and_is_not_there_fails():
    order = rules_for(["stems", "documentation"])
    stems = set_of(("Brass.wav", {}), ("Drums.wav", {}), order=order, key="")

    assert [each[:2] for each in said(stems)] == [
        ("warning", "Documentation"),
        ("failed", "Documentation"),
    ]
    papers = DeliverableFactory(kind="documentation", song=stems.song)
    DeliverableFileFactory(deliverable=papers, state=FileState.AS_IS, original_name="notes.pdf")
    assert [each[:2] for each in said(stems)] == [("warning", "Documentation")]


def test_what_is_told_of_all_files_counts_once():
    clipped = {"clipped_runs": [[1, 0, 9]], "clipped_run_count": 1}
    checked = Checked.of(checks_of(set_of(("Brass.wav", clipped), ("Drums.wav", clipped))))

    assert [len(fold.files) for fold in checked.found if fold.check.verdict == "failed"] == [2]
    assert checked.in_words == ["1 failed", "1 warning"]  # the null test isn’t done
