"""What was in force at a take prints the same in ten years, whatever is put on record meanwhile."""

from dataclasses import FrozenInstanceError

import pytest

from gear.equipment.cautions import HIGH_VOLTAGE, PHANTOM_HARMFUL
from gear.equipment.models import Unit
from gear.patchbay.models import PatchPoint
from sessions.setups.chains.actions import fix_revision, open_revision
from sessions.setups.chains.summary import path_in_words
from sessions.setups.levels.plan import level_plan
from sessions.setups.models import Revision, Stage
from sessions.setups.warnings.cautions import chain_cautions
from tests.factories import PatchPointFactory, StageFactory, UnitFactory
from tests.sessions.setups.building import loaded, microphone, revision_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def stage():
    """[voice] -- Weir 12 (M-01, supply S-01) -- Bay 1 A1 Wall 1 --> track"""
    supply = UnitFactory(model__maker="Skerrow", model__name="Supply", asset_tag="S-01")
    return StageFactory(
        unit__model__maker="Skerrow",
        unit__model__name="Weir 12",
        unit__asset_tag="M-01",
        unit__serial_number="M3117",
        unit__supply=supply,
        patch_out=PatchPointFactory(bay__name="Bay 1", row="A", column=1, label="Wall 1"),
    )


def rename_everything(stage):
    unit, point = stage.unit, stage.patch_out
    unit.model.maker, unit.model.name = "Skerrow Acoustic", "Weir 12 b"
    unit.model.save()
    unit.asset_tag, unit.serial_number, unit.supply = "M-99", "M0000", None
    unit.save()
    point.bay.name = "Bay old"
    point.bay.save()
    point.column, point.label = 9, "Spare"
    point.save()


def printed(revision):
    [stage] = Revision.objects.with_stages().get(pk=revision.pk).stages.all()
    unit = stage.facts.unit
    return (
        f"{unit.model}",
        unit.asset_tag,
        unit.serial_number,
        unit.supply and f"{unit.supply}",
        f"{stage.facts.patch_out}",
    )


AS_IT_STOOD = ("Skerrow Weir 12", "M-01", "M3117", "Skerrow Supply (S-01)", "Bay 1 A1 Wall 1")
TODAY = ("Skerrow Acoustic Weir 12 b", "M-99", "M0000", None, "Bay old A9 Spare")


def test_fixed_revision_prints_the_names_of_its_day(stage):
    fix_revision(stage.revision)

    rename_everything(stage)

    assert printed(stage.revision) == AS_IT_STOOD
    revision = Revision.objects.with_stages().get(pk=stage.revision_id)
    assert "Skerrow Weir 12 (M-01)" in path_in_words(revision)


def test_open_revision_prints_the_names_of_today(stage):
    rename_everything(stage)

    assert printed(stage.revision) == TODAY


def test_copy_of_a_fixed_revision_goes_by_the_names_of_today(stage, engineer):
    fix_revision(stage.revision)
    rename_everything(stage)

    copy = open_revision(stage.revision.chain, by=engineer)

    assert printed(copy) == TODAY
    assert Stage.objects.get(revision=copy).snapshot == {}


def test_supply_that_went_to_another_microphone_still_stands_on_the_sheet(stage):
    fix_revision(stage.revision)

    stage.unit.supply = UnitFactory(asset_tag="S-02")
    stage.unit.save()

    assert printed(stage.revision) == AS_IT_STOOD


def test_without_supply_and_patch_points_there_is_nothing_to_keep():
    bare = StageFactory(unit__supply=None, patch_in=None, patch_out=None)

    fix_revision(bare.revision)

    [stage] = Revision.objects.with_stages().get(pk=bare.revision_id).stages.all()
    facts = stage.facts
    assert (facts.unit.supply, facts.patch_in, facts.patch_out) == (None, None, None)


def reckoned(revision):
    """Level at the microphone's output, room to its limit, what the converter shows: rounded."""
    plan = level_plan(loaded(revision))
    out, room = plan.stages[0].out_dbu, plan.stages[0].headroom_db
    return round(out, 1), round(room, 1), round(plan.converter_dbfs, 1)


@pytest.fixture
def recorded_voice():
    """94 dB SPL at a microphone of 20 mV/Pa that takes 130 dB SPL; 0 dBFS at +18 dBu."""
    unit = microphone(sensitivity_mv_pa=20, max_spl_db=130)
    revision = revision_of(unit)
    revision.source_spl_db = 94
    revision.save()
    fix_revision(revision)
    return revision


def test_fixed_revision_reckons_with_the_facts_of_its_day(recorded_voice):
    """20 mV at 94 dB SPL is -31.8 dBu (0.775 V is 0 dBu)."""
    assert reckoned(recorded_voice) == (-31.8, 36.0, -49.8)
    model = recorded_voice.stages.get().unit.model
    model.sensitivity_mv_pa, model.max_spl_db = 10, 120
    model.save()
    project = recorded_voice.chain.setup.session.project
    project.full_scale_dbu, project.sample_rate = 24, 96_000
    project.save()

    assert reckoned(recorded_voice) == (-31.8, 36.0, -49.8)
    assert str(loaded(recorded_voice).recording_format) == "48 kHz, 24 bit, 0 dBFS at +18.0 dBu"


def test_open_revision_reckons_with_the_facts_of_today(recorded_voice, engineer):
    copy = open_revision(recorded_voice.chain, by=engineer)
    model = copy.stages.get().unit.model
    model.max_spl_db = 120
    model.save()
    project = copy.chain.setup.session.project
    project.full_scale_dbu = 24
    project.save()

    assert reckoned(copy) == (-31.8, 26.0, -55.8)


def test_jack_prints_the_level_and_side_of_its_day(stage):
    fix_revision(stage.revision)
    point = stage.patch_out
    was = point.level, point.side
    point.level, point.side = "speaker", "return"
    point.save()

    [fixed] = loaded(stage.revision).stages.all()

    assert (fixed.facts.patch_out.level, fixed.facts.patch_out.side) == was


def test_what_todays_record_says_otherwise_is_given_with_both(stage):
    model = stage.unit.model
    model.max_output_dbu, model.max_spl_db, model.phantom = 24, 128, "harmless"
    model.save()
    fix_revision(stage.revision)
    assert loaded(stage.revision).stages.all()[0].changed_since() == []

    rename_everything(stage)
    model.max_output_dbu, model.max_spl_db = None, 118
    model.phantom, model.own_supply = "harmful", True
    model.save()

    [fixed] = loaded(stage.revision).stages.all()
    changes = {fact.label: (fact.then, fact.today) for fact in fixed.changed_since()}
    assert changes == {
        "unit": ("Skerrow Weir 12 (M-01)", "Skerrow Acoustic Weir 12 b (M-99)"),
        "serial number": ("M3117", "M0000"),
        "its supply": ("Skerrow Supply (S-01)", "none"),
        "patched out at": ("Bay 1 A1 Wall 1", "Bay old A9 Spare"),
        "phantom power": ("Unaffected by phantom power", "Keep phantom power off"),
        "has its own supply": ("no", "yes"),
        "maximum SPL": ("128 dB", "118 dB"),
        "maximum output": ("+24.0 dBu", "not given"),
    }


def test_what_can_hurt_goes_by_todays_record(stage):
    fix_revision(stage.revision)
    model = stage.unit.model
    model.phantom, model.own_supply = "harmful", True
    model.save()

    cautions = [found.caution for found in chain_cautions(loaded(stage.revision))]

    assert cautions == [HIGH_VOLTAGE, PHANTOM_HARMFUL]


def test_saving_what_was_reached_through_a_fixed_stage_writes_nothing_back(stage):
    """A loaded unit, model or jack is today's: it never carries the facts of another day."""
    fix_revision(stage.revision)
    rename_everything(stage)

    [fixed] = loaded(stage.revision).stages.all()
    assert f"{fixed.facts.unit}" == "Skerrow Weir 12 (M-01)"
    for thing in (fixed.unit.model, fixed.unit, fixed.patch_out.bay, fixed.patch_out):
        thing.save()

    unit, point = Unit.objects.get(pk=stage.unit_id), PatchPoint.objects.get()
    assert (f"{unit.model}", unit.asset_tag, unit.serial_number, unit.supply) == TODAY[:3] + (None,)
    assert f"{point}" == TODAY[4]


def test_facts_can_not_be_set(stage):
    with pytest.raises(FrozenInstanceError):
        stage.facts.unit.asset_tag = "M-02"
