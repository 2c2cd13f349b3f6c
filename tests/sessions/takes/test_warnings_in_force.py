"""The warnings of the chains in force on the tracking page."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from gear.equipment.models import Phantom, UnitState
from sessions.setups.models import Revision, Stage
from sessions.takes.warnings_in_force import WarningsInForce, warnings_of
from tests.factories import ChainFactory, RevisionFactory, SetupFactory
from tests.sessions.setups.building import compressor, microphone, preamplifier, revision_of, stage

pytestmark = pytest.mark.django_db


def in_force(*revisions):
    """As `revisions_in_force` loads them."""
    found = Revision.objects.filter(pk__in=[each.pk for each in revisions])
    return found.select_related("chain__setup__session__project").order_by("pk")


def lines(*revisions):
    return [(each.severity, each.tracks) for each in warnings_of(in_force(*revisions)).lines]


def test_gravest_comes_first_with_the_track_that_it_is_about():
    """Voice: [mic] -- [pre, nothing logged]; bass: [pre on the bench]"""
    setup = SetupFactory()
    broken = preamplifier()
    broken.state = UnitState.ON_THE_BENCH
    broken.save()
    voice = revision_of(microphone(), preamplifier(), setup=setup, track="Vox")
    bass = revision_of(broken, setup=setup, track="Bass")

    found = warnings_of(in_force(voice, bass))

    assert [(each.severity, each.tracks) for each in found.lines] == [
        ("warning", "Bass"),
        ("caution", "Vox"),
    ]
    assert "on the bench" in found.lines[0].warning.reason
    assert found.further_in_words == "1 more warning, 3 notes"


def test_controls_that_were_copied_and_not_set_are_counted():
    revision = revision_of(microphone(), preamplifier(), compressor())
    Stage.objects.filter(revision=revision, position=2).update(not_yet_set=["gain", "p48"])
    Stage.objects.filter(revision=revision, position=3).update(not_yet_set=["ratio"])

    found = warnings_of(in_force(revision))

    assert found.not_yet_set == 3
    assert found.further_in_words.endswith("3 controls copied, not yet set")


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

    assert {each.tracks for each in (*found.lines, *found.notes)} == {"Vox"}
    assert (found.lines[0].severity, found.lines[0].is_safety) == ("warning", True)


def test_nothing_in_force_has_nothing_to_say(django_assert_num_queries):
    with django_assert_num_queries(0):
        assert warnings_of([]) == WarningsInForce()


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
            assert warnings_of(chains).lines
        return len(asked)

    assert queries(1) == queries(12)
