"""Chains are drawn [unit] -- [unit]; a revision is r1, r2; (fixed) after it says that it is."""

import pytest

from gear.editing.versions import EditedMeanwhile
from sessions.setups.chains.actions import (
    Seen,
    add_stage,
    change_stage,
    fix_revision,
    move_stage,
    remove_stage,
)
from sessions.setups.models import Path
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    units_in,
)

pytestmark = pytest.mark.django_db


def test_add_stage_puts_the_unit_at_the_end(engineer):
    """[mic]   ->   [mic] -- [pre]"""
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic)
    panel = pre.model.current_panel()

    added = add_stage(
        revision.chain,
        seen=Seen.of(revision),
        by=engineer,
        unit=pre,
        panel=panel,
        path=Path.PRINTED,
        settings={"gain": 35},
    )

    assert (added.position, added.panel, added.settings) == (2, panel, {"gain": 35})
    assert units_in(revision) == [mic, pre]


def test_add_stage_to_a_fixed_chain_makes_the_next_revision(engineer):
    """r1: [mic] (fixed)   ->   r2: [mic] -- [pre]"""
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic)
    fix_revision(revision)

    added = add_stage(
        revision.chain,
        seen=Seen.of(revision),
        by=engineer,
        unit=pre,
        panel=None,
        path=Path.PRINTED,
        settings={},
    )

    assert units_in(added.revision) == [mic, pre]
    assert units_in(revision) == [mic]


@pytest.mark.parametrize(
    ("moved", "towards_source", "order"),
    [
        (1, True, [1, 0, 2]),
        (1, False, [0, 2, 1]),
        (0, True, [0, 1, 2]),
        (2, False, [0, 1, 2]),
    ],
)
def test_move_stage_changes_places_with_its_neighbour(engineer, moved, towards_source, order):
    """[mic] -- [pre] -- [comp]:  pre up, pre down, and the ends that cannot move further"""
    units = [microphone(), preamplifier(), compressor()]
    revision = revision_of(*units)

    move_stage(
        revision.stages.all()[moved],
        seen=Seen.of(revision),
        by=engineer,
        towards_source=towards_source,
    )

    assert units_in(revision) == [units[place] for place in order]
    assert [stage.position for stage in loaded(revision).stages.all()] == [1, 2, 3]


def test_move_stage_of_a_fixed_revision_moves_it_in_the_next(engineer):
    """r1: [pre] -- [comp] (fixed)   ->   r2: [comp] -- [pre]"""
    pre, comp = preamplifier(), compressor()
    revision = revision_of(pre, comp)
    fix_revision(revision)

    moved = move_stage(
        revision.stages.last(), seen=Seen.of(revision), by=engineer, towards_source=True
    )

    assert units_in(moved.revision) == [comp, pre]
    assert units_in(revision) == [pre, comp]


def test_remove_stage_closes_the_gap(engineer):
    """[mic] -- [pre] -- [comp]   ->   [mic] -- [comp]"""
    mic, pre, comp = microphone(), preamplifier(), compressor()
    revision = revision_of(mic, pre, comp)

    remove_stage(revision.stages.all()[1], seen=Seen.of(revision), by=engineer)

    assert units_in(revision) == [mic, comp]
    assert [stage.position for stage in loaded(revision).stages.all()] == [1, 2]


def test_remove_stage_of_a_fixed_revision_takes_it_out_of_the_next(engineer):
    """r1: [mic] -- [pre] (fixed)   ->   r2: [mic]"""
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic, pre)
    fix_revision(revision)

    after = remove_stage(revision.stages.last(), seen=Seen.of(revision), by=engineer)

    assert after.number == 2
    assert units_in(after) == [mic]
    assert units_in(revision) == [mic, pre]


@pytest.mark.parametrize("action", [move_stage, remove_stage])
def test_move_or_remove_of_what_somebody_changed_is_refused(engineer, action):
    revision = revision_of(microphone(), preamplifier())
    seen, options = Seen.of(revision), {"towards_source": True} if action is move_stage else {}
    change_stage(revision.stages.first(), seen=seen, by=engineer, note="the dark one")

    with pytest.raises(EditedMeanwhile):
        action(revision.stages.last(), seen=seen, by=engineer, **options)

    assert revision.stages.count() == 2
