"""Chains are drawn [unit] -- [unit]; a revision is r1, r2; (fixed) after it says that it is."""

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from sessions.editing import EditedMeanwhile
from sessions.setups.actions import (
    ChainRecorded,
    Seen,
    add_chain,
    add_stage,
    change_chain,
    change_stage,
    claim_revision,
    copy_chain,
    fix_revision,
    move_stage,
    open_revision,
    place_microphone,
    remove_stage,
)
from sessions.setups.models import Path, Placement, Revision, Stage
from sessions.takes.models import TakeRevision
from tests.factories import (
    ChainFactory,
    PartFactory,
    PatchPointFactory,
    PlacementFactory,
    RevisionFactory,
    SetupFactory,
    StageFactory,
    TakeFactory,
)
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    units_in,
)

pytestmark = pytest.mark.django_db


def settings_of(revision):
    return [stage.settings for stage in revision.stages.all()]


def test_add_chain_begins_with_an_empty_first_revision(engineer):
    setup = SetupFactory()
    first = add_chain(setup, by=engineer, source="Alto voice", track="Ld Vox")

    second = add_chain(setup, by=engineer, source="Tenor voice", track="Harm 1")

    assert (first.position, second.position) == (1, 2)
    revision = second.revisions.get()
    assert (revision.number, revision.created_by, revision.is_fixed) == (1, engineer, False)


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
    PlacementFactory(revision=revision, photo="placements/2026/06/here.jpg")
    fix_revision(revision)

    copy = open_revision(revision.chain, by=engineer)

    assert (copy.number, copy.created_by, copy.is_fixed) == (2, engineer, False)
    new = copy.stages.get()
    for field in ("position", "unit", "panel", "path", "patch_in", "patch_out", "settings", "note"):
        assert getattr(new, field) == getattr(old, field)
    assert (copy.placement.distance_cm, copy.placement.photo.name) == (
        20,
        "placements/2026/06/here.jpg",
    )
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
    with pytest.raises(IntegrityError), transaction.atomic():
        TakeRevision.objects.create(take=TakeFactory(), revision=revision)

    fix_revision(revision)

    assert TakeRevision.objects.create(take=TakeFactory(), revision=revision).revision == revision


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


def test_place_microphone_writes_and_rewrites_one_placement(engineer):
    revision = RevisionFactory()
    place_microphone(revision.chain, seen=Seen.of(revision), by=engineer, distance_cm=20)
    revision.refresh_from_db()

    place_microphone(revision.chain, seen=Seen.of(revision), by=engineer, distance_cm=25)

    assert Placement.objects.get().distance_cm == 25


def test_place_microphone_of_a_fixed_revision_leaves_the_old_distance(engineer):
    """r1: 20 cm (fixed)   ->   r2: 25 cm"""
    old = PlacementFactory()
    fix_revision(old.revision)

    new = place_microphone(
        old.revision.chain, seen=Seen.of(old.revision), by=engineer, distance_cm=25
    )

    old.refresh_from_db()
    assert (old.distance_cm, new.distance_cm, new.revision.number) == (20, 25, 2)


def test_copy_chain_for_the_next_part_leaves_the_first_as_it_was(engineer):
    """Ld Vox r2: [mic] -- [pre]   ->   Harm 1 r1: [mic] -- [pre], to be changed by itself"""
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic, pre)
    fix_revision(revision)
    newest = open_revision(revision.chain, by=engineer)
    PlacementFactory(revision=newest, distance_cm=30)
    part = PartFactory(song__project=revision.chain.setup.session.project)

    copy = copy_chain(
        revision.chain,
        to=revision.chain.setup,
        by=engineer,
        source="Tenor voice",
        track="Harm 1",
        part=part,
    )

    started = copy.revisions.get()
    assert (started.number, started.is_fixed, started.placement.distance_cm) == (1, False, 30)
    assert (copy.source, copy.part, copy.position) == ("Tenor voice", part, 2)
    change_stage(started.stages.last(), seen=Seen.of(started), by=engineer, settings={"gain": 20})
    assert settings_of(loaded(newest)) == [{}, {}]
    assert revision.chain.revisions.count() == 2


def test_change_chain_before_any_take(engineer):
    revision = RevisionFactory()

    change_chain(revision.chain, seen=Seen.of(revision), by=engineer, track="Lead")

    revision.refresh_from_db()
    assert (revision.chain.track, revision.version) == ("Lead", 2)


def test_change_chain_after_a_take_is_refused(engineer):
    revision = revision_of(microphone())
    fix_revision(revision)

    with pytest.raises(ChainRecorded, match="Copy the chain"):
        change_chain(revision.chain, seen=Seen.of(revision), by=engineer, track="Lead")

    revision.chain.refresh_from_db()
    assert revision.chain.track == "Ld Vox"


def test_change_chain_that_somebody_changed_is_refused(engineer):
    revision = RevisionFactory()
    seen = Seen.of(revision)
    change_chain(revision.chain, seen=seen, by=engineer, track="Lead")

    with pytest.raises(EditedMeanwhile):
        change_chain(revision.chain, seen=seen, by=engineer, track="Vox")


def test_newest_revision_is_the_same_with_and_without_prefetch(engineer):
    chain = ChainFactory()
    RevisionFactory(chain=chain, number=1, fixed_at=timezone.now())
    newest = RevisionFactory(chain=chain, number=2)

    asked = chain.newest_revision()
    prefetched = type(chain).objects.with_newest_revision().get(pk=chain.pk).newest_revision()

    assert asked == prefetched == newest
