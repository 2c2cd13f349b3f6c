import pytest

from sessions.recall.sheet.signal_path import signal_path
from sessions.setups.levels.plan import level_plan
from sessions.setups.models import Path, Revision
from tests.factories import RevisionFactory, StageFactory

pytestmark = pytest.mark.django_db


def path_of(revision):
    loaded = Revision.objects.with_stages().get(pk=revision.pk)
    return signal_path(loaded, level_plan(loaded))


def drawn(steps):
    """Tags from source to track, those that hang beside a step in brackets after it."""
    words = []
    for step in steps:
        words.append(step.detail or step.name)
        if step.beside:
            words.append([branch.detail for branch in step.beside])
    return words


def stage(revision, position, tag, path=Path.PRINTED):
    StageFactory(revision=revision, position=position, unit__asset_tag=tag, path=path)


def test_printed_stages_run_from_source_to_track():
    """Alto voice -> M-1 -> P-1 -> Ld Vox"""
    revision = RevisionFactory()
    stage(revision, 1, "M-1")
    stage(revision, 2, "P-1")

    steps = path_of(revision)

    assert drawn(steps) == ["Alto voice", "M-1", "P-1", "Ld Vox"]
    assert [step.kind for step in steps] == ["source", "printed", "printed", "track"]
    assert [step.number for step in steps] == [None, 1, 2, None]


def test_monitor_only_stage_hangs_from_the_stage_before_it():
    """
    Alto voice -> M-1 -> P-1 -> A-1 -> Ld Vox
                          |
                          +- - C-1 - - E-1
    """
    revision = RevisionFactory()
    stage(revision, 1, "M-1")
    stage(revision, 2, "P-1")
    stage(revision, 3, "C-1", Path.MONITOR_ONLY)
    stage(revision, 4, "E-1", Path.MONITOR_ONLY)
    stage(revision, 5, "A-1")

    steps = path_of(revision)

    assert drawn(steps) == ["Alto voice", "M-1", "P-1", ["C-1", "E-1"], "A-1", "Ld Vox"]
    assert [branch.kind for branch in steps[2].beside] == ["monitor only", "monitor only"]


def test_monitor_only_stage_without_a_stage_before_it_hangs_from_the_source():
    """
    Alto voice -> Ld Vox
        +- - H-1
    """
    revision = RevisionFactory()
    stage(revision, 1, "H-1", Path.MONITOR_ONLY)

    assert drawn(path_of(revision)) == ["Alto voice", ["H-1"], "Ld Vox"]


def test_track_names_the_destination_input():
    revision = RevisionFactory(chain__destination_input="Recorder in 7")

    assert path_of(revision)[-1].detail == "Recorder in 7"
