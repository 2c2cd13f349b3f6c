"""Chains as they stood when takes were recorded through them."""

from django.utils import timezone

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
    keys = [revision.pk for revision in revisions]
    Revision.objects.filter(pk__in=keys, fixed_at=None).update(fixed_at=timezone.now())
    TakeRevision.objects.bulk_create(
        TakeRevision(take=take, revision=revision) for revision in revisions
    )
    return take
