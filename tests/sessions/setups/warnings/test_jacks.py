"""Jacks that no connection of the chain uses."""

import pytest

from gear.patchbay.models import Side
from sessions.setups.warnings.jacks import jack_leads_nowhere
from tests.factories import PatchPointFactory, RevisionFactory
from tests.sessions.setups.building import compressor, loaded, microphone, preamplifier, stage

pytestmark = pytest.mark.django_db


def test_mult_that_ends_nowhere():
    """[mic] -- [pre: out at mult 1]"""
    revision, pre = RevisionFactory(), preamplifier()
    stage(revision, microphone())
    stage(revision, pre, patch_out=PatchPointFactory(side=Side.SEND, mult="1"))

    [warning] = jack_leads_nowhere(loaded(revision))

    assert (warning.severity, warning.stage.unit) == ("caution", pre)


def test_mult_that_goes_on():
    """[mic] -- [pre: out at mult 1] -- [comp]      [mic] -- [pre: out at mult 1] -- Input 1"""
    for destination_input in ("", "Input 1"):
        revision = RevisionFactory(chain__destination_input=destination_input)
        stage(revision, microphone())
        stage(revision, preamplifier(), patch_out=PatchPointFactory(side=Side.SEND, mult="1"))
        if not destination_input:
            stage(revision, compressor())

        assert list(jack_leads_nowhere(loaded(revision))) == []


def test_ends_of_the_chain_on_the_wrong_side():
    """[mic: in at a source] -- [pre: out at an input]"""
    revision, mic, pre = RevisionFactory(), microphone(), preamplifier()
    stage(revision, mic, patch_in=PatchPointFactory(side=Side.SEND))
    stage(revision, pre, patch_out=PatchPointFactory(side=Side.RETURN))

    found = list(jack_leads_nowhere(loaded(revision)))

    assert [(each.severity, each.stage.unit) for each in found] == [
        ("warning", mic),
        ("warning", pre),
    ]
