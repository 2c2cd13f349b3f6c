"""Phantom switches that serve several inputs, over random plugs. P48 by IEC 61938; what it harms is
asked of today's record."""

import random

import pytest

from gear.equipment.models import Phantom
from sessions.setups.chains.phantom import harmed_through, mates_of, phantom_words
from sessions.setups.warnings import chain_warnings
from sessions.setups.warnings.cautions import chain_cautions
from tests.factories import RevisionFactory, SetupFactory
from tests.sessions.setups.building import loaded, microphone, preamplifier, stage

pytestmark = pytest.mark.django_db

BANK = 4


def plugged(setup, pre, channel, need, p48=None):
    """[mic] -- [pre/channel, 48 V on, off or not logged]"""
    revision = RevisionFactory(chain__setup=setup, chain__track=f"{need} {channel}")
    stage(revision, microphone(phantom=need))
    settings = {} if p48 is None else {"p48": p48}
    stage(revision, pre, channel=channel, settings=settings)
    return loaded(revision)


def stage_of(revision, pre):
    return next(each for each in revision.stages.all() if each.unit == pre)


def microphone_of(revision):
    return revision.stages.all()[0].unit


@pytest.fixture
def setup():
    return SetupFactory()


@pytest.fixture
def pre():
    """Eight channels, a phantom switch for each four."""
    return preamplifier(channels=2 * BANK, phantom_bank=BANK)


def test_ribbon_in_the_bank_of_a_condenser_keeps_phantom_power_off(setup, pre):
    """[condenser] -- [pre/1 48 V on]      [ribbon] -- [pre/3]      [condenser] -- [pre/5 on]"""
    condenser = plugged(setup, pre, 1, Phantom.NEEDED, p48=1)
    ribbon = plugged(setup, pre, 3, Phantom.HARMFUL)
    beyond = plugged(setup, pre, 5, Phantom.NEEDED, p48=1)
    up = [condenser, ribbon, beyond]

    assert phantom_words(condenser, up) == "no 48 V: one needs it, the other is damaged"
    assert phantom_words(ribbon, up) == "never 48 V"
    assert phantom_words(beyond, up) == "48 V on"
    assert harmed_through(stage_of(condenser, pre), up) == [microphone_of(ribbon)]
    assert harmed_through(stage_of(beyond, pre), up) == []


def test_input_beside_a_condenser_is_said_to_have_48_v_that_it_does_not_need(setup, pre):
    """[condenser] -- [pre/1 48 V on]      [moving coil] -- [pre/2]      [moving coil] -- [pre/1] later"""
    condenser = plugged(setup, pre, 1, Phantom.NEEDED, p48=1)
    beside = plugged(setup, pre, 2, Phantom.HARMLESS, p48=1)
    later = plugged(setup, pre, 1, Phantom.HARMLESS)
    up = [condenser, beside, later]

    assert phantom_words(beside, up) == "48 V on for others"
    assert phantom_words(later, up) == "48 V not needed"
    assert phantom_words(beside, [beside]) == "48 V not needed"


def test_the_ribbons_own_page_says_that_the_switch_is_on_for_its_neighbour(setup, pre):
    condenser = plugged(setup, pre, 1, Phantom.NEEDED, p48=1)
    ribbon = plugged(setup, pre, 3, Phantom.HARMFUL)

    gravest = chain_warnings(ribbon, beside=[condenser, ribbon])[0]

    assert (gravest.severity, gravest.is_safety) == ("warning", True)
    assert f"serves {microphone_of(ribbon)} too" in gravest.reason
    assert "Switch it off" in gravest.advice


def test_channel_that_nobody_named_may_hang_on_any_switch(setup, pre):
    condenser = plugged(setup, pre, None, Phantom.NEEDED)
    ribbon = plugged(setup, pre, 8, Phantom.HARMFUL)

    assert mates_of(condenser, [condenser, ribbon]) == [ribbon]


def test_inputs_with_a_switch_of_their_own_do_not_mind_each_other(setup):
    pre = preamplifier(channels=8)
    condenser = plugged(setup, pre, 1, Phantom.NEEDED, p48=1)
    ribbon = plugged(setup, pre, 2, Phantom.HARMFUL, p48=0)

    assert phantom_words(condenser, [condenser, ribbon]) == "48 V on"
    assert [w for w in chain_warnings(condenser, beside=[condenser, ribbon]) if w.is_safety] == []


@pytest.mark.parametrize("seed", range(40))
def test_nothing_asks_for_48_volts_where_a_naive_look_finds_harm(seed, setup):
    """The oracle: is anything that 48 V harms plugged into an input from k*bank+1 to (k+1)*bank?"""
    chance = random.Random(seed)
    bank = chance.choice([1, 2, 4, 8])
    pre = preamplifier(channels=8, phantom_bank=bank)
    channels = chance.sample(range(1, 9), chance.randint(1, 6))
    up = [
        plugged(setup, pre, channel, chance.choice(Phantom.values), chance.choice([0, 1, None]))
        for channel in channels
    ]

    for channel, revision in zip(channels, up, strict=True):
        first = (channel - 1) // bank * bank + 1
        served = [
            other
            for other_channel, other in zip(channels, up, strict=True)
            if first <= other_channel < first + bank
        ]
        harmed = [
            microphone_of(other)
            for other in served
            if microphone_of(other).model.phantom == Phantom.HARMFUL
        ]
        assert harmed_through(stage_of(revision, pre), up) == harmed
        advice = " ".join(
            [warning.advice for warning in chain_warnings(revision, beside=up)]
            + [found.caution.text for found in chain_cautions(revision, up)]
        )
        if harmed:
            assert "switch 48 V on" not in advice
            assert "then switch phantom power on" not in advice
            assert "then switch it on" not in advice
            assert phantom_words(revision, up) != "48 V on"
