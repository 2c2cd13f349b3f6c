"""Each rule where it speaks and where it keeps still. What they rest on is said in each test;
the numbers are common practice, no source, unless a standard is named."""

import pytest

from sessions.setups.warnings.logged import controls_not_logged, gain_not_logged
from tests.factories import (
    RevisionFactory,
)
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    through_preamplifier,
)

pytestmark = pytest.mark.django_db


def test_gain_not_logged_after_a_microphone_is_a_note():
    [note] = gain_not_logged(through_preamplifier(microphone(), {"p48": 1}))

    assert note.severity == "note"
    assert note.stage.position == 2


def test_gain_that_is_logged_gets_no_hint():
    assert list(gain_not_logged(through_preamplifier(microphone(), {"gain": 0}))) == []
    assert list(gain_not_logged(revision_of(preamplifier()))) == []
    assert list(gain_not_logged(RevisionFactory())) == []


def test_controls_that_are_not_logged_are_counted_and_named():
    """[mic] -- [pre gain 35, 48 V ?] -- [comp ratio ?, reduction ?]"""
    revision = revision_of(microphone(), preamplifier(), compressor())
    revision.stages.filter(position=2).update(settings={"gain": 35})

    [warning] = controls_not_logged(loaded(revision))

    assert warning.severity == "note"
    assert "1 of 4 controls logged, 25 %" in warning.reason
    pre, comp = (stage.unit.asset_tag for stage in list(revision.stages.all())[1:])
    assert warning.advice == f"Log 48 V of {pre}, Ratio of {comp}, Gain reduction of {comp}."


def test_chain_that_is_logged_or_has_nothing_to_log_is_complete():
    assert (
        list(controls_not_logged(through_preamplifier(microphone(), {"gain": 0, "p48": 1}))) == []
    )
    assert list(controls_not_logged(revision_of(microphone()))) == []
