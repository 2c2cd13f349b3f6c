"""Chains as they stood when takes were recorded through them."""

from sessions.setups.chains.actions import fix_revision
from sessions.setups.headphones.actions import snapshot_mixes
from sessions.setups.models import Revision
from sessions.takes.models import Take, TakeRevision
from tests.factories import (
    ChainFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
)


def chain_of(part, *, session=None, **facts) -> Revision:
    """The first revision of a chain that records the part; still open."""
    setup = SetupFactory(session=session or RecordingSessionFactory(project=part.song.project))
    return RevisionFactory(chain=ChainFactory(setup=setup, part=part, **facts))


def record(take: Take, *revisions: Revision) -> Take:
    """What logging a take does: the revisions in force are fixed, and the take points to them."""
    for revision in revisions:
        fix_revision(revision)
        heard = snapshot_mixes(revision.chain.setup)
        TakeRevision.objects.create(take=take, revision=revision, heard=heard)
    return take
