"""The line of a wall box belongs to the place: whoever stands in is plugged into it."""

import pytest

from gear.equipment.models import Category
from gear.patchbay.models import Side, TieLine
from sessions.recall.rebuilds.actions import choose_unit
from sessions.recall.rebuilds.checklist import checklist_of
from tests.factories import (
    BayFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PartFactory,
    PatchPointFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.rebuilds.vocal import started, step_at
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db


def jack(bay, column, side, **facts):
    row = "A" if side == Side.SEND else "B"
    return PatchPointFactory(
        bay=bay, row=row, column=column, label=f"{row} {column}", side=side, **facts
    )


@pytest.fixture
def vocal():
    """[M-01] -- [S-01, its supply] -- Loft, box 1 line 5 = A5 ==cord== B1 [P-01] A1 --"""
    bay = BayFactory(name="Bay 1")
    line = jack(bay, 5, Side.SEND, level="microphone")
    TieLine.objects.create(room="Loft", box="box 1", line=5, point=line)
    supply = UnitFactory(asset_tag="S-01", model=GearModelFactory(category=Category.SUPPLY))
    pre = UnitFactory(asset_tag="P-01", model=GearModelFactory(name="Stile"))
    revision = chain_of(PartFactory(), destination_input="Input 1")
    microphone = UnitFactory(asset_tag="M-01", model=MicrophoneModelFactory(), supply=supply)
    into = jack(bay, 1, Side.RETURN, unit=pre)
    out = jack(bay, 1, Side.SEND, unit=pre)
    for position, (unit, jacks) in enumerate(
        [
            (microphone, {}),
            (supply, {"patch_out": line}),
            (pre, {"patch_in": into, "patch_out": out}),
        ],
        1,
    ):
        StageFactory(revision=revision, position=position, unit=unit, panel=None, **jacks)
    record(TakeFactory(part=revision.chain.parts.get(), circled=True), revision)
    return revision


@pytest.fixture
def rebuild(vocal, engineer):
    return started(vocal, engineer)


def cords(rebuild):
    found = checklist_of(rebuild).patching.patch_list
    return [
        (cord.source.name, cord.source.jack.place, cord.destination.jack.place)
        for cord in found.cords
        if cord.source.jack and cord.destination.jack
    ]


def choose(rebuild, position, unit, by):
    step = step_at(rebuild, position)
    choose_unit(step, unit=unit, is_left_out=unit is None, seen=step.version, by=by)


def test_supply_that_stands_in_is_plugged_into_the_line_of_the_one_before(rebuild, engineer):
    other = UnitFactory(asset_tag="S-02", model=GearModelFactory(category=Category.SUPPLY))
    choose(rebuild, 2, other, engineer)

    assert cords(rebuild) == [(f"{other}", "A5", "B1")]


def test_microphone_that_needs_no_supply_takes_over_its_line(rebuild, engineer):
    other = UnitFactory(asset_tag="M-02", model=MicrophoneModelFactory())
    choose(rebuild, 1, other, engineer)
    choose(rebuild, 2, None, engineer)

    assert cords(rebuild) == [(f"{other}", "A5", "B1")]
    assert checklist_of(rebuild).stages[0].patch_out.place == "A5"


def test_jack_that_is_wired_to_the_unit_before_gives_way(rebuild, engineer):
    bay = BayFactory(name="Bay 2")
    other = UnitFactory(asset_tag="P-02", model=GearModelFactory())
    jack(bay, 7, Side.RETURN, unit=other)
    choose(rebuild, 3, other, engineer)

    assert [(source, into) for _, source, into in cords(rebuild)] == [("A5", "B7")]
