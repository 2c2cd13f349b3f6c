"""Each rule where it speaks and where it keeps still. What they rest on is said in each test;
the numbers are common practice, no source, unless a standard is named."""

import pytest

from gear.equipment.models import Phantom, Transducer
from sessions.setups.models import Orientation
from sessions.setups.patching.patch_list import NOTHING
from sessions.setups.warnings import chain_warnings, setup_warnings
from sessions.setups.warnings.warning import SEVERITIES
from tests.factories import (
    ChainFactory,
    PlacementFactory,
    RevisionFactory,
    SetupFactory,
)
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    said,
    stage,
)

pytestmark = pytest.mark.django_db


def test_setup_warnings_begin_with_the_gravest():
    setup, pre = SetupFactory(buffer_samples=128), preamplifier()
    revision = revision_of(pre, pre, setup=setup)

    found = said(setup_warnings(setup, [revision], NOTHING))

    assert found == sorted(found, key=SEVERITIES.index)
    assert len(found) == 2


def test_chain_warnings_begin_with_the_gravest_and_cost_no_query(django_assert_num_queries):
    """[valve mic, hung] -- [pre, nothing logged]"""
    mic = microphone(transducer=Transducer.VALVE, phantom=Phantom.HARMLESS)
    revision = revision_of(mic, preamplifier())
    PlacementFactory(revision=revision, orientation=Orientation.HUNG)
    revision = loaded(revision)

    with django_assert_num_queries(0):
        warnings = chain_warnings(revision)

    assert said(warnings) == ["warning", "caution", "caution", "note", "note"]


def test_chain_in_order_has_nothing_to_look_at():
    """[mic] -- [pre gain 35, 48 V on] -- [comp 4:1, 3 dB]"""
    revision = RevisionFactory(chain=ChainFactory())
    stage(revision, microphone())
    stage(revision, preamplifier(), settings={"gain": 35, "p48": 1})
    stage(revision, compressor(), settings={"ratio": 4, "gr": 3})

    assert chain_warnings(loaded(revision)) == []
