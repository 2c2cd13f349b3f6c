"""What today's record says at a caution. P48 by IEC 61938; whom it harms is asked of today's record."""

import pytest

from gear.equipment.models import Category, Phantom
from sessions.recall.proving.cautions import cautions, chain_cautions
from sessions.recall.proving.feeding import feed_of
from tests.factories import GearModelFactory, RevisionFactory, SetupFactory, UnitFactory
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    splitter,
    stage,
    supply,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def setup():
    return SetupFactory()


@pytest.fixture
def pre():
    """Four inputs, one switch."""
    return preamplifier(channels=4, phantom_bank=4)


def chain(setup, *units, p48=None, channel=None, track="Ld Vox"):
    """The units in order; the last has the switch."""
    revision = RevisionFactory(chain__setup=setup, chain__track=track)
    for unit in units[:-1]:
        stage(revision, unit)
    stage(revision, units[-1], channel=channel, settings={} if p48 is None else {"p48": p48})
    return loaded(revision)


def said(key, revision, *beside):
    found = chain_cautions(revision, feed_of(revision), [revision, *beside])
    return next(each.said for each in found if each.key == key)


def test_every_chain_has_the_same_five():
    assert [each.key for each in cautions()] == [
        "monitors",
        "headphones",
        "phantom",
        "path",
        "loop",
    ]


def test_48_v_that_is_logged_as_on_is_said(setup, pre):
    """[condenser] -- [pre/1 48 V on]"""
    [on] = said("phantom", chain(setup, microphone(), pre, p48=1, channel=1))

    assert f"Logged as on at {pre}, channel 1" in on
    assert "switch it off, and wait" in on


def test_48_v_that_is_off_has_nothing_said_of_it(setup, pre):
    assert said("phantom", chain(setup, microphone(), pre, p48=0, channel=1)) == ()


def test_48_v_that_nobody_logged_is_to_be_looked_at(setup, pre):
    [unknown] = said("phantom", chain(setup, microphone(), pre, channel=1))

    assert "is not logged: look there" in unknown


def test_others_on_the_same_switch_are_said_and_not_its_own_microphone(setup, pre):
    """[condenser] -- [pre/1 48 V on]      [condenser] -- [pre/2]"""
    other = microphone()
    beside = chain(setup, other, pre, channel=2, track="Horn")

    _, shared, *_ = said("phantom", chain(setup, microphone(), pre, p48=1, channel=1), beside)

    assert f"gives 48 V to {other}: mute those channels" in shared


def test_switch_that_only_its_neighbour_logged_as_on_is_said(setup, pre):
    """[moving coil] -- [pre/1, not logged]      [condenser] -- [pre/2 48 V on]"""
    beside = chain(setup, microphone(), pre, p48=1, channel=2, track="Horn")
    ours = chain(setup, microphone(phantom=Phantom.HARMLESS), pre, channel=1)

    assert any(
        f"Logged as on at {pre}, channel 2" in each for each in said("phantom", ours, beside)
    )


def test_line_input_has_no_switch(setup):
    """[mic] -- [compressor]"""
    assert said("phantom", chain(setup, microphone(), compressor())) == ()


def test_48_v_that_a_splitter_lets_through_is_said(setup, pre):
    """[condenser] -- [splitter] -- [pre/1 48 V on]: the file goes into the splitter."""
    assert said("phantom", chain(setup, microphone(), splitter(), pre, p48=1, channel=1))


def test_cable_of_a_supply_is_left_as_it_is(setup, pre):
    """[valve mic] -- [supply] -- [pre]"""
    valve = microphone(transducer="valve", own_supply=True, phantom=Phantom.HARMFUL)

    [high_voltage] = said("path", chain(setup, valve, supply(), pre, p48=0, channel=1))

    assert "leave that cable as it is" in high_voltage


def test_unit_that_works_by_48_v_keeps_it_from_behind(setup, pre):
    """An active DI: it is fed from the preamplifier, and the file goes into its own input."""
    box = UnitFactory(model=GearModelFactory(category=Category.DI_BOX, phantom=Phantom.NEEDED))
    revision = chain(setup, box, pre, p48=1, channel=1)

    [kept] = said("phantom", revision)

    assert "itself needs 48 V from the input behind it: leave that on" in kept
    found = chain_cautions(revision, feed_of(revision), [revision])
    assert f"off at the input of {box.asset_tag}" in found[2].title
