"""Chains are drawn [unit] -- [unit]; a revision is r1, r2; (fixed) after it says that it is."""

import pytest
from django.db import IntegrityError, transaction

from gear.editing.versions import EditedMeanwhile
from sessions.setups.chains.actions import (
    Seen,
    change_stage,
    claim_revision,
    fix_revision,
    open_revision,
)
from sessions.setups.headphones.actions import snapshot_mixes
from sessions.setups.models import Path, Revision, Stage
from sessions.takes.models import TakeRevision
from tests.factories import (
    PatchPointFactory,
    PlacementFactory,
    RevisionFactory,
    StageFactory,
    TakeFactory,
)
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    settings_of,
)

pytestmark = pytest.mark.django_db


def test_open_revision_of_an_open_chain_is_the_newest(engineer):
    """r1: [mic] -- [pre]   stays r1"""
    revision = revision_of(microphone(), preamplifier())

    assert open_revision(revision.chain, by=engineer) == revision
    assert revision.chain.revisions.count() == 1


def test_open_revision_of_a_fixed_chain_copies_everything(engineer):
    """r1: [mic] -- [pre gain 35]  (fixed), 20 cm   ->   r2: [mic] -- [pre gain 35], 20 cm"""
    point = PatchPointFactory()
    revision = RevisionFactory()
    old = StageFactory(
        revision=revision,
        position=1,
        path=Path.MONITOR_ONLY,
        patch_in=point,
        settings={"gain": 35},
        note="left channel",
    )
    PlacementFactory(revision=revision)
    fix_revision(revision)

    copy = open_revision(revision.chain, by=engineer)

    assert (copy.number, copy.created_by, copy.is_fixed) == (2, engineer, False)
    new = copy.stages.get()
    for field in ("position", "unit", "panel", "path", "patch_in", "patch_out", "settings", "note"):
        assert getattr(new, field) == getattr(old, field)
    assert copy.placement.distance_cm == 20
    assert new.history.get().history_user == engineer
    assert revision.stages.get() == old


def test_fix_revision_fixes_its_panels_too_and_only_those():
    """r1: [mic] -- [pre on panel 1]   (fixed: r1, panel 1)      [comp on its panel] stays free"""
    pre, comp = preamplifier(), compressor()
    revision = revision_of(microphone(), pre)

    fix_revision(revision)

    revision.refresh_from_db()
    assert revision.is_fixed
    assert pre.model.panels.get().is_fixed
    assert not comp.model.panels.get().is_fixed
    assert revision.history.first().fixed_at == revision.fixed_at


def test_fix_revision_a_second_time_changes_nothing():
    revision = revision_of(preamplifier())
    fix_revision(revision)
    panel = revision.stages.get().panel
    times = (revision.fixed_at, panel.fixed_at)

    fix_revision(Revision.objects.get(pk=revision.pk))

    revision.refresh_from_db()
    panel.refresh_from_db()
    assert (revision.fixed_at, panel.fixed_at) == times
    assert revision.history.count() == 2


def test_fix_revision_leaves_the_time_of_a_panel_that_was_fixed_before():
    """r1 of chain 1 on panel 1 (fixed)      r1 of chain 2 on the same panel"""
    pre = preamplifier()
    fix_revision(revision_of(pre))
    before = pre.model.panels.get().fixed_at

    fix_revision(revision_of(pre))

    assert pre.model.panels.get().fixed_at == before


def test_fixed_revision_can_carry_a_take():
    revision = revision_of(microphone(), preamplifier())
    through = {"revision": revision, "heard": snapshot_mixes(revision.chain.setup)}
    with pytest.raises(IntegrityError), transaction.atomic():
        TakeRevision.objects.create(take=TakeFactory(), **through)

    fix_revision(revision)

    assert TakeRevision.objects.create(take=TakeFactory(), **through).revision == revision


def test_change_before_any_take_is_made_in_place(engineer):
    """r1: [pre gain 35]   ->   r1: [pre gain 40]"""
    revision = revision_of(preamplifier())
    stage = revision.stages.get()

    changed = change_stage(stage, seen=Seen.of(revision), by=engineer, settings={"gain": 40})

    assert (changed.pk, changed.settings) == (stage.pk, {"gain": 40})
    revision.refresh_from_db()
    assert (revision.number, revision.version) == (1, 2)


def test_change_after_a_take_makes_the_next_revision(engineer):
    """r1: [mic] -- [pre gain 35] (fixed)   ->   r1 as it was,  r2: [mic] -- [pre gain 40]"""
    revision = revision_of(microphone(), preamplifier())
    stage = revision.stages.last()
    Stage.objects.filter(pk=stage.pk).update(settings={"gain": 35})
    stage.refresh_from_db()
    fix_revision(revision)

    changed = change_stage(stage, seen=Seen.of(revision), by=engineer, settings={"gain": 40})

    assert changed.revision.number == 2
    assert settings_of(changed.revision) == [{}, {"gain": 40}]
    assert settings_of(loaded(revision)) == [{}, {"gain": 35}]


def test_change_that_changes_nothing_makes_no_revision(engineer):
    revision = revision_of(preamplifier())
    fix_revision(revision)
    stage = revision.stages.get()

    same = change_stage(stage, seen=Seen.of(revision), by=engineer, settings={}, note="")

    assert same == stage
    assert revision.chain.revisions.count() == 1


def test_second_editor_is_told_and_overwrites_nothing(engineer, assistant):
    """Both see r1 v1: the engineer sets 40 (r1 v2), the assistant's 50 is refused."""
    revision = revision_of(preamplifier())
    stage, seen = revision.stages.get(), Seen.of(revision)
    change_stage(stage, seen=seen, by=engineer, settings={"gain": 40})

    with pytest.raises(EditedMeanwhile) as meanwhile:
        change_stage(Stage.objects.get(pk=stage.pk), seen=seen, by=assistant, settings={"gain": 50})

    assert meanwhile.value.current == revision
    assert Stage.objects.get(pk=stage.pk).settings == {"gain": 40}


def test_editor_whose_revision_was_only_fixed_meanwhile_edits_a_copy(engineer):
    """Seen: r1 open.   A take fixes r1.   Saved: r2."""
    revision = revision_of(preamplifier())
    stage, seen = revision.stages.get(), Seen.of(revision)
    fix_revision(revision)

    changed = change_stage(stage, seen=seen, by=engineer, settings={"gain": 40})

    assert changed.revision.number == 2


def test_editor_whose_revision_was_edited_and_fixed_meanwhile_is_told(engineer, assistant):
    """Seen: r1 v1.   Somebody sets 40 (r1 v2), a take fixes r1.   50 is refused."""
    revision = revision_of(preamplifier())
    stage, seen = revision.stages.get(), Seen.of(revision)
    change_stage(stage, seen=seen, by=engineer, settings={"gain": 40})
    fix_revision(revision)

    with pytest.raises(EditedMeanwhile):
        change_stage(stage, seen=seen, by=assistant, settings={"gain": 50})

    assert revision.chain.revisions.count() == 1


def test_editor_whose_revision_was_copied_meanwhile_is_shown_the_copy(engineer, assistant):
    """Both see r1 (fixed): the engineer's change is r2, the assistant's is refused with r2."""
    revision = revision_of(preamplifier())
    fix_revision(revision)
    stage, seen = revision.stages.get(), Seen.of(revision)
    change_stage(stage, seen=seen, by=engineer, settings={"gain": 40})

    with pytest.raises(EditedMeanwhile) as meanwhile:
        change_stage(stage, seen=seen, by=assistant, settings={"gain": 50})

    assert meanwhile.value.current.number == 2
    assert revision.chain.revisions.count() == 2


def test_claim_of_another_chain_is_refused(engineer):
    mine, other = RevisionFactory(), RevisionFactory()

    with pytest.raises(EditedMeanwhile), transaction.atomic():
        claim_revision(mine.chain, seen=Seen.of(other), by=engineer)
