"""Random plugs of channels, banks, splitters and pairs: warnings against a naive look at all pairs of
plugs. P48 by IEC 61938; what it harms is asked of today's record."""

import random
from collections import Counter
from dataclasses import dataclass
from typing import Any

import pytest

from gear.equipment.models import Phantom
from sessions.setups.chains.actions import Seen, change_stage
from sessions.setups.chains.phantom import harmed_by_switching_on, phantom_words
from sessions.setups.models import ChainGroup, Revision
from sessions.setups.patching.patch_list import newest_of_sessions
from sessions.setups.warnings import chain_warnings
from sessions.setups.warnings.cautions import chain_cautions
from sessions.setups.warnings.channels import channel_twice
from tests.factories import ChainFactory, RevisionFactory, SetupFactory, UserFactory
from tests.sessions.setups.building import microphone, preamplifier, splitter, stage

pytestmark = pytest.mark.django_db

#: Of which none may be said of a switch whose 48 V would reach what it harms.
SWITCH_ON = (
    "switch 48 V on",
    "switch phantom power on",
    "switch it on",
    "Switch it there",
    "48 V on",
)


@dataclass
class Plug:
    """[mic] -- [splitter, one of its outputs] -- [pre/channel, 48 V on, off or not logged]"""

    mic: Any
    splitter: Any
    output: int
    pre: Any
    channel: int
    p48: int | None
    revision: Any = None

    @property
    def is_harmed(self):
        return self.mic.model.phantom == Phantom.HARMFUL

    @property
    def needs(self):
        return self.mic.model.phantom == Phantom.NEEDED

    def shares_splitter(self, other):
        return self.splitter is not None and self.splitter == other.splitter

    def shares_switch(self, other):
        bank = self.pre.model.phantom_bank
        return self.pre == other.pre and (self.channel - 1) // bank == (other.channel - 1) // bank


def reaches(plug, other, plugs):
    """Whether 48 V from the switch of the one arrives at the other, splitters holding none back."""
    return any(
        plug.shares_switch(via) and (via is other or via.shares_splitter(other)) for via in plugs
    )


def harmed_from(plug, plugs):
    return {other.mic for other in plugs if other.is_harmed and reaches(plug, other, plugs)}


def random_plugs(chance):
    pres = [preamplifier(channels=8, phantom_bank=chance.choice([1, 2, 4])) for _ in range(2)]
    plugs = []
    for _ in range(chance.randint(2, 6)):
        mic = microphone(phantom=chance.choice(Phantom.values))
        shared = splitter() if chance.random() < 0.4 else None
        for output in range(chance.choice([1, 2]) if shared else 1):
            pre, channel = chance.choice(pres), chance.randint(1, 8)
            plugs.append(Plug(mic, shared, output, pre, channel, chance.choice([0, 1, None])))
    return plugs


def plug_in(plugs, setup):
    for n, plug in enumerate(plugs):
        chain = ChainFactory(setup=setup, source=f"Source {n}", track=f"Track {n}")
        plug.revision = RevisionFactory(chain=chain)
        stage(plug.revision, plug.mic)
        if plug.splitter:
            stage(plug.revision, plug.splitter, settings={"out": plug.output})
        settings = {} if plug.p48 is None else {"p48": plug.p48}
        stage(plug.revision, plug.pre, channel=plug.channel, settings=settings)
    up = {each.pk: each for each in newest_of_sessions([setup.session_id])}
    for plug in plugs:
        plug.revision = up[plug.revision.pk]
    return list(up.values())


@pytest.mark.parametrize("seed", range(20))
def test_warnings_are_those_of_a_naive_look_and_nothing_harmful_is_advised(seed):
    plugs = random_plugs(random.Random(seed))
    up = plug_in(plugs, SetupFactory())

    for plug in plugs:
        harmed = harmed_from(plug, plugs)
        givers = [plug] + [each for each in plugs if plug.output and plug.shares_splitter(each)]
        own = plug.is_harmed and any(each.p48 and reaches(each, plug, plugs) for each in plugs)
        for_it = {mic for giver in givers for mic in harmed_from(giver, plugs)}
        warned = [
            warning
            for warning in chain_warnings(plug.revision, beside=up)
            if warning.is_safety and "damage" in f"{warning.reason} {warning.advice}"
        ]
        assert set(harmed_by_switching_on(plug.revision.stages.last(), up)) == harmed
        assert bool(warned) == bool(own or (harmed and plug.p48) or (for_it and plug.needs))
        if for_it:
            advice = [warning.advice for warning in chain_warnings(plug.revision, beside=up)]
            advice += [found.caution.text for found in chain_cautions(plug.revision, up)]
            advice += [phantom_words(plug.revision, up)]
            assert [(each, on) for each in advice for on in SWITCH_ON if on in each] == []


@pytest.mark.parametrize("seed", range(5))
def test_channel_of_two_chains_is_said_and_a_split_microphone_is_not(seed):
    plugs = random_plugs(random.Random(seed))
    up = plug_in(plugs, SetupFactory())

    said = " ".join(warning.reason for warning in channel_twice(up))

    counted = Counter((plug.pre, plug.channel) for plug in plugs)
    for (pre, channel), count in counted.items():
        assert (f"({pre.asset_tag}/{channel})" in said) == (count > 1)
    assert not any(plug.mic.asset_tag in said for plug in plugs)


@pytest.mark.parametrize("seed", range(8))
def test_48_volts_follow_to_the_other_side_of_a_pair_only_where_they_harm_nothing(seed):
    """Two of the plugs are a pair, set alike; its first side is switched on."""
    plugs = random_plugs(random.Random(seed))
    first, second = plugs[0], plugs[-1]
    second.splitter, second.pre = first.splitter, first.pre
    second.p48 = first.p48 = 0
    setup = SetupFactory()
    plug_in(plugs, setup)
    pair = ChainGroup.objects.create(setup=setup, name="Pair", arrangement="spaced")
    pair.chains.set([first.revision.chain, second.revision.chain])
    half = Revision.objects.get(pk=first.revision.pk)

    change_stage(
        half.stages.last(), seen=Seen.of(half), by=UserFactory(), settings={"p48": 1, "gain": 30}
    )

    followed = Revision.objects.get(pk=second.revision.pk).stages.last().settings
    assert followed == {"gain": 30, "p48": 0 if harmed_from(second, plugs) else 1}
