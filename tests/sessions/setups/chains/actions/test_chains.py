"""Chains are drawn [unit] -- [unit]; a revision is r1, r2; (fixed) after it says that it is."""

import pytest
from django.utils import timezone

from gear.editing.versions import EditedMeanwhile
from sessions.setups.chains.actions import (
    ChainRecorded,
    Seen,
    add_chain,
    change_chain,
    change_stage,
    copy_chain,
    fix_revision,
    open_revision,
)
from tests.factories import (
    ChainFactory,
    PartFactory,
    PlacementFactory,
    RevisionFactory,
    SetupFactory,
)
from tests.sessions.setups.building import (
    loaded,
    microphone,
    preamplifier,
    revision_of,
    settings_of,
)

pytestmark = pytest.mark.django_db


def test_add_chain_begins_with_an_empty_first_revision(engineer):
    setup = SetupFactory()
    first = add_chain(setup, by=engineer, source="Alto voice", track="Ld Vox")

    second = add_chain(setup, by=engineer, source="Tenor voice", track="Harm 1")

    assert (first.position, second.position) == (1, 2)
    revision = second.revisions.get()
    assert (revision.number, revision.created_by, revision.is_fixed) == (1, engineer, False)


def test_copy_chain_for_the_next_part_leaves_the_first_as_it_was(engineer):
    """Ld Vox r2: [mic] -- [pre]   ->   Harm 1 r1: [mic] -- [pre], to be changed by itself"""
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic, pre)
    fix_revision(revision)
    newest = open_revision(revision.chain, by=engineer)
    PlacementFactory(revision=newest, distance_cm=30)
    part = PartFactory(song__project=revision.chain.setup.session.project)

    copy = copy_chain(
        revision.chain,
        to=revision.chain.setup,
        by=engineer,
        source="Tenor voice",
        track="Harm 1",
        parts=[part],
    )

    started = copy.revisions.get()
    assert (started.number, started.is_fixed, started.placement.distance_cm) == (1, False, 30)
    assert (copy.source.name, copy.parts.get(), copy.position) == ("Tenor voice", part, 2)
    change_stage(started.stages.last(), seen=Seen.of(started), by=engineer, settings={"gain": 20})
    assert settings_of(loaded(newest)) == [{}, {}]
    assert revision.chain.revisions.count() == 2


def test_change_chain_before_any_take(engineer):
    revision = RevisionFactory()

    change_chain(revision.chain, seen=Seen.of(revision), by=engineer, track="Lead")

    revision.refresh_from_db()
    assert (revision.chain.track, revision.version) == ("Lead", 2)


def test_change_chain_after_a_take_is_refused(engineer):
    revision = revision_of(microphone())
    fix_revision(revision)

    with pytest.raises(ChainRecorded, match="Copy the chain"):
        change_chain(revision.chain, seen=Seen.of(revision), by=engineer, track="Lead")

    revision.chain.refresh_from_db()
    assert revision.chain.track == "Ld Vox"


def test_change_chain_that_somebody_changed_is_refused(engineer):
    revision = RevisionFactory()
    seen = Seen.of(revision)
    change_chain(revision.chain, seen=seen, by=engineer, track="Lead")

    with pytest.raises(EditedMeanwhile):
        change_chain(revision.chain, seen=seen, by=engineer, track="Vox")


def test_newest_revision_is_the_same_with_and_without_prefetch(engineer):
    chain = ChainFactory()
    RevisionFactory(chain=chain, number=1, fixed_at=timezone.now())
    newest = RevisionFactory(chain=chain, number=2)

    asked = chain.newest_revision()
    prefetched = type(chain).objects.with_newest_revision().get(pk=chain.pk).newest_revision()

    assert asked == prefetched == newest
