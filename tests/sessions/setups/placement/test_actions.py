"""Chains are drawn [unit] -- [unit]; a revision is r1, r2; (fixed) after it says that it is."""

import pytest

from sessions.setups.chains.actions import Seen, fix_revision
from sessions.setups.models import Placement
from sessions.setups.placement.actions import place_microphone
from tests.factories import PlacementFactory, RevisionFactory

pytestmark = pytest.mark.django_db


def test_place_microphone_writes_and_rewrites_one_placement(engineer):
    revision = RevisionFactory()
    place_microphone(revision.chain, seen=Seen.of(revision), by=engineer, distance_cm=20)
    revision.refresh_from_db()

    place_microphone(revision.chain, seen=Seen.of(revision), by=engineer, distance_cm=25)

    assert Placement.objects.get().distance_cm == 25


def test_place_microphone_of_a_fixed_revision_leaves_the_old_distance(engineer):
    """r1: 20 cm (fixed)   ->   r2: 25 cm"""
    old = PlacementFactory()
    fix_revision(old.revision)

    new = place_microphone(
        old.revision.chain, seen=Seen.of(old.revision), by=engineer, distance_cm=25
    )

    old.refresh_from_db()
    assert (old.distance_cm, new.distance_cm, new.revision.number) == (20, 25, 2)
