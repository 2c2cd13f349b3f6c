"""Each rule where it speaks and where it keeps still. What they rest on is said in each test;
the numbers are common practice, no source, unless a standard is named."""

from datetime import UTC, datetime, timedelta

import pytest

from gear.equipment.models import Phantom, Transducer
from gear.panels.models import Meaning
from sessions.setups.warnings.power import (
    not_warm_by_the_start,
    phantom_power,
    supply_before_cable,
    valve_without_supply,
)
from tests.factories import (
    ChainFactory,
    PanelFactory,
    RevisionFactory,
    SetupFactory,
    StageFactory,
)
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    said,
    stage,
    supply,
    switch,
    through_preamplifier,
)

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("need", "p48", "severities"),
    [
        (Phantom.NEEDED, {"p48": 1}, []),
        (Phantom.NEEDED, {"p48": 0}, ["warning"]),
        (Phantom.NEEDED, {}, ["caution"]),
        (Phantom.HARMFUL, {"p48": 1}, ["warning"]),
        (Phantom.HARMFUL, {"p48": 0}, []),
        (Phantom.HARMFUL, {}, ["caution"]),
        (Phantom.HARMLESS, {"p48": 1}, ["note"]),
        (Phantom.HARMLESS, {"p48": 0}, []),
        (Phantom.HARMLESS, {}, []),
    ],
)
def test_phantom_power_against_what_the_microphone_needs(need, p48, severities):
    """[mic] -- [pre 48 V on, off or not logged]      P48 by IEC 61938: data rules of practice"""
    revision = through_preamplifier(microphone(phantom=need), p48)

    assert said(phantom_power(revision)) == severities


@pytest.mark.parametrize("p48", [{"p48": 1}, {"p48": 0}, {}])
def test_phantom_power_is_never_asked_for_where_it_harms_another_unit_of_the_chain(p48):
    """[condenser] -- [ribbon, in the same chain] -- [pre 48 V on, off or not logged]"""
    revision = through_preamplifier(microphone(phantom=Phantom.NEEDED), p48)
    StageFactory(revision=revision, unit=microphone(phantom=Phantom.HARMFUL), position=9)

    advice = [f"{found.reason} {found.advice}" for found in phantom_power(loaded(revision))]

    assert advice
    assert not any("switch 48 V on" in text or "switch it on" in text for text in advice)


def test_phantom_power_on_a_passive_ribbon_warns_whatever_its_entry_says():
    mic = microphone(transducer=Transducer.RIBBON, phantom=Phantom.HARMLESS)

    [warning] = phantom_power(through_preamplifier(mic, {"p48": 1}))

    assert warning.severity == "warning"
    assert warning.is_safety
    assert "Switch it off" in warning.advice
    assert warning.stage.position == 2


def test_phantom_power_of_an_active_ribbon_that_needs_it_is_right():
    mic = microphone(transducer=Transducer.ACTIVE_RIBBON, phantom=Phantom.NEEDED)

    assert list(phantom_power(through_preamplifier(mic, {"p48": 1}))) == []


def test_phantom_power_may_come_from_a_supply_between():
    """[mic] -- [supply 48 V on] -- [pre 48 V off]"""
    box = supply()
    switch(PanelFactory(model=box.model), key="p48", meaning=Meaning.PHANTOM)
    revision = RevisionFactory()
    stage(revision, microphone())
    stage(revision, box, settings={"p48": 1})
    stage(revision, preamplifier(), settings={"p48": 0})

    assert list(phantom_power(loaded(revision))) == []


def test_phantom_power_with_no_switch_after_the_microphone():
    """[mic] -- [comp]"""
    needed = revision_of(microphone(), compressor())
    harmful = revision_of(microphone(phantom=Phantom.HARMFUL), compressor())

    assert said(phantom_power(needed)) == ["caution"]
    assert said(phantom_power(harmful)) == []


def test_valve_microphone_without_its_supply_is_useless():
    """[valve mic] -- [pre]"""
    own = supply()
    mic = microphone(transducer=Transducer.VALVE, phantom=Phantom.HARMLESS)
    mic.supply = own
    mic.save()

    [warning] = valve_without_supply(revision_of(mic, preamplifier()))

    assert warning.severity == "warning"
    assert "silent" in warning.reason
    assert str(own) in warning.advice


def test_valve_microphone_with_its_supply_is_right():
    """[valve mic] -- [its supply] -- [pre]"""
    mic = microphone(transducer=Transducer.VALVE)
    mic.supply = supply()
    mic.save()

    assert list(valve_without_supply(revision_of(mic, mic.supply, preamplifier()))) == []


def test_valve_microphone_on_the_supply_of_another():
    """[valve mic] -- [another supply] -- [pre]"""
    mic = microphone(transducer=Transducer.VALVE)
    mic.supply = supply()
    mic.save()

    assert said(valve_without_supply(revision_of(mic, supply(), preamplifier()))) == ["caution"]


def test_supply_goes_off_before_its_cable_is_touched():
    """Common practice, no source: unsafe to re-plug unless the microphone's own supply is off."""
    mic = microphone(own_supply=True, warm_up_minutes=20)

    [warning] = supply_before_cable(revision_of(mic, supply()))

    assert "unless the supply is off" in warning.advice
    assert "20 minutes" in warning.advice
    assert warning.is_safety


def test_microphone_without_a_supply_of_its_own_needs_no_such_caution():
    assert list(supply_before_cable(revision_of(microphone(), preamplifier()))) == []
    assert list(valve_without_supply(revision_of(microphone(), preamplifier()))) == []


NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)


def valve_chain(*, starts_in, settings=None, minutes=30):
    """[valve mic, 30 minutes] -- [supply, power?] -- [pre]; the session starts in so many minutes."""
    starts_at = NOW + timedelta(minutes=starts_in)
    setup = SetupFactory(
        session__starts_at=starts_at, session__ends_at=starts_at + timedelta(hours=4)
    )
    box = supply()
    switch(PanelFactory(model=box.model), key="power", meaning=Meaning.POWER)
    revision = RevisionFactory(chain=ChainFactory(setup=setup))
    stage(revision, microphone(transducer=Transducer.VALVE, warm_up_minutes=minutes))
    stage(revision, box, settings=settings or {})
    return loaded(revision)


@pytest.mark.parametrize(
    ("facts", "severities"),
    [
        ({"starts_in": 60}, ["note"]),
        ({"starts_in": 30}, ["note"]),
        ({"starts_in": 29}, ["caution"]),
        ({"starts_in": -60}, ["caution"]),
        ({"starts_in": -60, "settings": {"power": 1}}, []),
        ({"starts_in": 10, "settings": {"power": 0}}, ["caution"]),
        ({"starts_in": 10, "minutes": 0}, []),
        ({"starts_in": -240}, []),  # the session is over
    ],
)
def test_valve_microphone_is_to_be_warm_by_the_start(facts, severities):
    assert said(not_warm_by_the_start(valve_chain(**facts), now=NOW)) == severities


def test_warm_up_says_by_when_to_switch_on_and_when_it_is_warm(settings):
    """At 9:00 with a session at 10:00: on by 9:30. At 9:00 with one at 9:10: warm at 9:30."""
    settings.TIME_ZONE = "UTC"

    [early] = not_warm_by_the_start(valve_chain(starts_in=60), now=NOW)
    [late] = not_warm_by_the_start(valve_chain(starts_in=10), now=NOW)

    assert early.advice == "Switch its supply on by 09:30, and log it as on."
    assert "had to be on by 08:40" in late.reason
    assert "it is warm at 09:30" in late.advice
