"""Units of several channels. That one channel carries one signal at a time is common practice, no
source."""

import random
from collections import Counter

import pytest

from sessions.setups.warnings.channels import channel_twice, shared_control_differs
from tests.factories import ControlFactory, RevisionFactory, SetupFactory, UnitFactory
from tests.sessions.setups.building import (
    loaded,
    microphone,
    preamplifier,
    revision_of,
    stage,
)

pytestmark = pytest.mark.django_db


def on(setup, *plugged, **facts):
    """A chain of units, or of (unit, channel), in order."""
    revision = RevisionFactory(chain__setup=setup, **facts)
    for unit in plugged:
        unit, channel = unit if isinstance(unit, tuple) else (unit, None)
        stage(revision, unit, channel=channel)
    return loaded(revision)


def test_unit_of_one_channel_in_two_chains_is_said_once_for_all_they_share():
    """[mic] -- [pre]      [mic] -- [pre]      [other mic]"""
    setup, mic, pre = SetupFactory(), microphone(), preamplifier()
    first = revision_of(mic, pre, setup=setup, track="Ld Vox")
    second = revision_of(mic, pre, setup=setup, track="Harm 1")
    third = revision_of(microphone(), setup=setup)

    [warning] = channel_twice([first, second, third])

    assert warning.severity == "warning"
    assert str(mic) in warning.reason
    assert str(pre) in warning.reason
    assert "“Alto voice →\u00a0Ld Vox” and “Alto voice →\u00a0Harm 1”" in warning.reason
    assert list(channel_twice([first, third])) == []


def test_two_chains_on_one_unit_are_fine_and_on_one_channel_are_not():
    """[mic] -- [pre/1]    [mic] -- [pre/2]    [mic] -- [pre/2]"""
    setup, pre = SetupFactory(), preamplifier(channels=8)
    first, second, third = (
        on(setup, microphone(), (pre, channel), chain__track=f"Track {n}")
        for n, channel in enumerate((1, 2, 2), 1)
    )

    [warning] = channel_twice([first, second, third])

    assert warning.reason.startswith(f"{pre.model} ({pre.asset_tag}/2): stands in each of")
    assert list(channel_twice([first, second])) == []


def test_channels_that_nobody_named_are_asked_for():
    """[mic] -- [pre/?]    [mic] -- [pre/?]"""
    setup, pre = SetupFactory(), preamplifier(channels=8)

    [warning] = channel_twice([on(setup, microphone(), pre), on(setup, microphone(), pre)])

    assert "choose another channel" in warning.advice


def test_unit_twice_in_one_chain():
    pre = preamplifier()

    [warning] = channel_twice([revision_of(pre, pre)])

    assert "more than once in “Alto voice →\u00a0Ld Vox”" in warning.reason


@pytest.mark.parametrize("seed", range(25))
def test_random_plugs_clash_where_a_naive_count_says_so(seed):
    """The oracle: a channel that more than one chain names."""
    chance = random.Random(seed)
    setup, units = SetupFactory(), [UnitFactory(model__channels=4) for _ in range(2)]
    plugs = [(chance.choice(units), chance.randint(1, 4)) for _ in range(chance.randint(1, 7))]
    revisions = [on(setup, plug, chain__track=f"Track {n}") for n, plug in enumerate(plugs)]

    said = " ".join(warning.reason for warning in channel_twice(revisions))

    counted = Counter(plugs)
    for unit in units:
        for channel in range(1, 5):
            is_said = f"({unit.asset_tag}/{channel})" in said
            assert is_said == (counted[unit, channel] > 1)


@pytest.mark.parametrize(
    ("first", "second", "count"), [(1, 0, 1), (1, 1, 0), (0, 0, 0), (1, None, 0)]
)
def test_control_that_serves_all_channels_has_one_position(first, second, count):
    """[pre/1 link in]    [pre/2 link out]"""
    setup, pre = SetupFactory(), preamplifier(channels=2)
    ControlFactory(panel=pre.model.panels.get(), key="link", label="Link", serves_all=True)
    revisions = [RevisionFactory(chain__setup=setup) for _ in range(2)]
    for channel, (revision, value) in enumerate(zip(revisions, (first, second), strict=True), 1):
        settings = {"gain": 10 * channel} | ({} if value is None else {"link": value})
        stage(revision, pre, channel=channel, settings=settings)

    found = list(shared_control_differs(map(loaded, revisions)))

    assert [warning.severity for warning in found] == ["caution"] * count
    assert all("Link serves all its channels" in warning.reason for warning in found)
