"""48 V and a splitter’s outputs: an isolated one feeds no microphone, but is not relied upon to protect
one (common practice, no source)."""

import pytest

from gear.equipment.models import Phantom
from sessions.setups.chains.phantom import ruling_on_switch
from tests.factories import RevisionFactory
from tests.sessions.setups.building import loaded, microphone, preamplifier, splitter, stage

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("need", "output", "advised"),
    [
        (Phantom.NEEDED, 0, True),
        (Phantom.NEEDED, 1, None),
        (Phantom.HARMFUL, 0, False),
        (Phantom.HARMFUL, 1, False),
    ],
)
def test_switch_behind_a_splitter(need, output, advised):
    """[microphone] -- [splitter: direct, or isolated] -- [pre]"""
    revision = RevisionFactory()
    stage(revision, microphone(phantom=need))
    stage(revision, splitter(), settings={"out": output})
    stage(revision, preamplifier())

    assert ruling_on_switch(loaded(revision).stages.all()[2]).to_advise is advised
