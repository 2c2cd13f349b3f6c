"""“As logged, no signal would pass: check”. P48 by IEC 61938; the rest is common practice, no source."""

import pytest
from django.urls import reverse

from gear.equipment.models import Phantom, Transducer
from gear.patchbay.models import Side
from gear.patchbay.wiring import load_wiring
from sessions.reports.session_report import session_report
from sessions.setups.warnings import chain_warnings
from sessions.setups.warnings.channels import shared_control_differs
from sessions.setups.warnings.no_signal import no_signal
from sessions.setups.warnings.warning import NO_SIGNAL
from tests.factories import BayFactory, PatchPointFactory, RevisionFactory, SetupFactory
from tests.sessions.setups.building import (
    loaded,
    microphone,
    preamplifier,
    revision_of,
    said,
    stage,
    supply,
    through_preamplifier,
)

pytestmark = pytest.mark.django_db


def found(*revisions, wiring=None):
    return [warning.reason for warning in no_signal([[*revisions]], wiring)]


@pytest.mark.parametrize(
    ("need", "p48", "says"),
    [
        (Phantom.NEEDED, {"p48": 0}, True),
        (Phantom.NEEDED, {"p48": 1}, False),
        (Phantom.NEEDED, {}, False),
        (Phantom.HARMLESS, {"p48": 0}, False),
        (Phantom.HARMFUL, {"p48": 0}, False),
        (Phantom.HARMFUL, {"p48": 1}, False),
    ],
)
def test_condenser_whose_48_volts_are_logged_off(need, p48, says):
    revision = through_preamplifier(microphone(phantom=need), p48)

    assert bool(found(revision)) == says
    words = [warning.word for warning in chain_warnings(revision)]
    assert (NO_SIGNAL in words) == says
    assert not says or words[0] == NO_SIGNAL


def test_another_supply_that_is_logged_behind_it_feeds_it():
    """[condenser] -- [supply without a phantom switch] -- [pre 48 V off]"""
    revision = RevisionFactory()
    for unit in (microphone(phantom=Phantom.NEEDED), supply()):
        stage(revision, unit)
    stage(revision, preamplifier(), settings={"p48": 0})

    assert found(loaded(revision)) == []
    assert not any("needs phantom" in each.reason for each in chain_warnings(loaded(revision)))


def test_valve_microphone_without_its_supply():
    mic = microphone(transducer=Transducer.VALVE, own_supply=True, phantom=Phantom.HARMLESS)

    assert "has no supply" in found(revision_of(mic, preamplifier()))[0]
    assert found(revision_of(mic, supply(), preamplifier())) == []


def on(setup, pre, channel, need, **settings):
    revision = RevisionFactory(chain__setup=setup, chain__track=f"Track {channel} {need}")
    stage(revision, microphone(phantom=need))
    stage(revision, pre, channel=channel, settings=settings)
    return loaded(revision)


def test_one_channel_in_two_chains_at_a_time():
    setup, pre = SetupFactory(), preamplifier(channels=8)
    first, second = (on(setup, pre, 3, need) for need in (Phantom.HARMLESS, Phantom.HARMFUL))

    assert "stands in each of" in found(first, second)[0]
    assert no_signal([[first], [second]], None) == []  # one after the other


def test_two_chains_that_feed_one_jack():
    setup, bay = SetupFactory(), BayFactory()
    into = PatchPointFactory(bay=bay, row=2, column=1, side=Side.RETURN)
    revisions = []
    for column in (1, 2):
        out = PatchPointFactory(bay=bay, row=1, column=column, side=Side.SEND)
        revision = RevisionFactory(chain__setup=setup, chain__track=f"Track {column}")
        stage(revision, microphone(phantom=Phantom.HARMLESS), patch_out=out)
        stage(revision, preamplifier(), patch_in=into)
        revisions.append(loaded(revision))

    assert any("is fed twice" in each for each in found(*revisions, wiring=load_wiring()))
    assert no_signal([[each] for each in revisions], load_wiring()) == []


def test_switch_of_several_inputs_is_on_for_all_of_them_wherever_it_was_logged():
    """[condenser] -- [pre/1]      [moving coil] -- [pre/2 48 V on]: one switch for four"""
    setup, pre = SetupFactory(), preamplifier(channels=8, phantom_bank=4)
    condenser = on(setup, pre, 1, Phantom.NEEDED)
    beside = [condenser, on(setup, pre, 2, Phantom.HARMLESS, p48=1)]

    assert said(chain_warnings(condenser, beside=beside)).count("warning") == 0
    assert not any("phantom switch" in w.reason for w in chain_warnings(condenser, beside=beside))
    # nor is the moving coil told that nobody needs it there
    assert not any("not needed" in w.reason for w in chain_warnings(beside[1], beside=beside))

    off = [on(setup, pre, 5, Phantom.NEEDED), on(setup, pre, 6, Phantom.HARMLESS, p48=0)]
    assert len(found(*off)) == 1
    differs = [on(setup, pre, 5, Phantom.NEEDED, p48=1), off[1]]
    [warning] = shared_control_differs(differs)
    assert "serves its inputs 5 to 8" in warning.reason


def test_report_says_it_first(client_of, engineer):
    revision = through_preamplifier(microphone(phantom=Phantom.NEEDED), {"p48": 0})
    session = revision.chain.setup.session

    [warning] = session_report(session).no_signal
    page = client_of(engineer).get(reverse("reports:session", args=[session.pk]))
    text = " ".join(page.content.decode().split())

    assert "48 V, which is off" in warning.reason
    assert text.index(f"{NO_SIGNAL}.") < text.index("<h2>Facts</h2>")
