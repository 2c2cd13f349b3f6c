"""What was in force at a take prints the same in ten years, whatever is renamed meanwhile."""

import pytest

from sessions.setups.actions import fix_revision, open_revision
from sessions.setups.models import Revision, Stage
from sessions.setups.summary import path_in_words
from tests.factories import PatchPointFactory, StageFactory, UnitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def stage():
    """[voice] -- Sounding 12 (M-01, supply S-01) -- Bay 1 A1 Wall 1 --> track"""
    supply = UnitFactory(model__maker="Petrel", model__name="Supply", asset_tag="S-01")
    return StageFactory(
        unit__model__maker="Petrel",
        unit__model__name="Sounding 12",
        unit__asset_tag="M-01",
        unit__serial_number="M3117",
        unit__supply=supply,
        patch_out=PatchPointFactory(bay__name="Bay 1", row="A", column=1, label="Wall 1"),
    )


def rename_everything(stage):
    unit, point = stage.unit, stage.patch_out
    unit.model.maker, unit.model.name = "Petrel & Daughters", "Sounding 12 b"
    unit.model.save()
    unit.asset_tag, unit.serial_number, unit.supply = "M-99", "M0000", None
    unit.save()
    point.bay.name = "Bay old"
    point.bay.save()
    point.column, point.label = 9, "Spare"
    point.save()


def printed(revision):
    [stage] = Revision.objects.with_stages().get(pk=revision.pk).stages.all()
    supply = stage.unit.supply
    return (
        f"{stage.unit.model}",
        stage.unit.asset_tag,
        stage.unit.serial_number,
        supply and f"{supply}",
        f"{stage.patch_out}",
    )


AS_IT_STOOD = ("Petrel Sounding 12", "M-01", "M3117", "Petrel Supply (S-01)", "Bay 1 A1 Wall 1")
TODAY = ("Petrel & Daughters Sounding 12 b", "M-99", "M0000", None, "Bay old A9 Spare")


def test_fixed_revision_prints_the_names_of_its_day(stage):
    fix_revision(stage.revision)

    rename_everything(stage)

    assert printed(stage.revision) == AS_IT_STOOD
    revision = Revision.objects.with_stages().get(pk=stage.revision_id)
    assert "Petrel Sounding 12 (M-01)" in path_in_words(revision)


def test_open_revision_prints_the_names_of_today(stage):
    rename_everything(stage)

    assert printed(stage.revision) == TODAY


def test_copy_of_a_fixed_revision_goes_by_the_names_of_today(stage, engineer):
    fix_revision(stage.revision)
    rename_everything(stage)

    copy = open_revision(stage.revision.chain, by=engineer)

    assert printed(copy) == TODAY
    assert Stage.objects.get(revision=copy).names == {}


def test_supply_that_went_to_another_microphone_still_stands_on_the_sheet(stage):
    fix_revision(stage.revision)

    stage.unit.supply = UnitFactory(asset_tag="S-02")
    stage.unit.save()

    assert printed(stage.revision) == AS_IT_STOOD


def test_without_supply_and_patch_points_there_is_nothing_to_keep():
    bare = StageFactory(unit__supply=None, patch_in=None, patch_out=None)

    fix_revision(bare.revision)

    [stage] = Revision.objects.with_stages().get(pk=bare.revision_id).stages.all()
    assert (stage.unit.supply, stage.patch_in, stage.patch_out) == (None, None, None)
