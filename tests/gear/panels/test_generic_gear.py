import pytest

from gear.equipment.models import GearModel, Phantom, Unit
from gear.panels.generic_gear import KINDS, add_generic
from gear.panels.generic_kinds import GENERIC_KINDS
from tests.factories import UnitFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_made_whole(kind, manager):
    (unit,) = add_generic(kind, count=1, by=manager)

    model = unit.model
    model.full_clean()
    panel = model.current_panel()
    assert (panel.controls.count() if panel else 0) == len(GENERIC_KINDS.get(KINDS[kind].panel, []))
    assert unit.asset_tag == f"{KINDS[kind].tag}-01"


def test_every_generic_panel_has_its_kind():
    assert {kind.panel for kind in KINDS.values()} - {""} == set(GENERIC_KINDS)


def test_what_48_v_may_harm_says_so():
    harmed = {name for name, kind in KINDS.items() if kind.phantom == Phantom.HARMFUL}

    assert harmed == {"Ribbon microphone", "Valve microphone"}


def test_tags_go_on_after_those_that_are_there(manager):
    UnitFactory(asset_tag="MIC-02")

    add_generic("Condenser microphone", count=2, by=manager)
    add_generic("Ribbon microphone", count=1, by=manager)

    made = Unit.objects.filter(model__maker="Generic").order_by("asset_tag")
    assert [unit.asset_tag for unit in made] == ["MIC-01", "MIC-03", "MIC-04"]
    assert GearModel.objects.filter(maker="Generic").count() == 2
