"""The warnings of the chains in force on the tracking page."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from gear.equipment.models import Phantom, UnitState
from sessions.setups.models import Revision
from sessions.takes.warnings_in_force import warnings_of
from tests.factories import ChainFactory, RevisionFactory, SetupFactory
from tests.sessions.setups.building import microphone, preamplifier, revision_of, stage

pytestmark = pytest.mark.django_db


def in_force(*revisions):
    """As `revisions_in_force` loads them."""
    found = Revision.objects.filter(pk__in=[each.pk for each in revisions])
    return found.select_related("chain__setup__session__project").order_by("pk")


def lines(*revisions):
    return [(each.severity, each.tracks) for each in warnings_of(in_force(*revisions))]


def test_gravest_comes_first_with_the_track_that_it_is_about():
    """Voice: [mic] -- [pre, nothing logged]; bass: [pre on the bench]"""
    setup = SetupFactory()
    broken = preamplifier()
    broken.state = UnitState.ON_THE_BENCH
    broken.save()
    voice = revision_of(microphone(), preamplifier(), setup=setup, track="Vox")
    bass = revision_of(broken, setup=setup, track="Bass")

    found = warnings_of(in_force(voice, bass))

    assert (found[0].severity, found[0].tracks) == ("warning", "Bass")
    assert "on the bench" in found[0].warning.reason
    assert [each.severity for each in found][1:] == ["caution", "note", "note", "note"]


def test_what_two_chains_share_stands_once():
    setup, pre = SetupFactory(), preamplifier()
    pre.state = UnitState.ON_THE_BENCH
    pre.save()
    both = [revision_of(pre, setup=setup, track=track) for track in ("Vox", "Double")]

    assert lines(*both)[0] == ("warning", "Vox, Double")


def test_chain_that_is_not_in_force_gives_no_line_but_its_switch_counts():
    """Voice: [mic that 48 V harms] -- [pre A]; talkback: [mic] -- [pre A, 48 V on] of the same switch."""
    setup, pre = SetupFactory(), preamplifier(channels=2, phantom_bank=2)
    voice, talk = (
        RevisionFactory(chain=ChainFactory(setup=setup, track=track)) for track in ("Vox", "Talk")
    )
    stage(voice, microphone(phantom=Phantom.HARMFUL))
    stage(voice, pre, channel=1, settings={"gain": 30, "p48": 0})
    stage(talk, microphone())
    stage(talk, pre, channel=2, settings={"gain": 30, "p48": 1})

    found = warnings_of(in_force(voice))

    assert {each.tracks for each in found} == {"Vox"}
    assert (found[0].severity, found[0].is_safety) == ("warning", True)


def test_nothing_in_force_has_nothing_to_say(django_assert_num_queries):
    with django_assert_num_queries(0):
        assert warnings_of([]) == []


def test_queries_are_the_same_for_one_chain_and_for_twelve():
    setup = SetupFactory()

    def queries(count):
        revisions = [
            revision_of(microphone(), preamplifier(), setup=setup, track=f"{count}.{n}")
            for n in range(count)
        ]
        chains = list(in_force(*revisions))
        with CaptureQueriesContext(
            connection,
        ) as asked:
            assert warnings_of(chains)
        return len(asked)

    assert queries(1) == queries(12)
