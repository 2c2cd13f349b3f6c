from collections.abc import Collection
from datetime import datetime

from django.db.models import Q
from django.utils import timezone

from sessions.setups.models import Placement, Revision, Setup, Stage
from sessions.songs.models import Part, Song


def parts_set_up(setup: Setup | None, song: Song) -> list[Part]:
    """The parts of the song that the setup's chains carry: what is recorded if nobody says otherwise."""
    return (
        list(song.parts.filter(chains__setup=setup, chains__struck_at=None).distinct())
        if setup
        else []
    )


def revisions_in_force(
    setup: Setup | None, parts: Collection[Part], *, at: datetime | None = None
) -> list[Revision]:
    """The revisions that a take of the parts is recorded through while the setup stands.

    The newest of each chain that carries one of them, or whatever is recorded, and is not struck; `at` a
    moment in the past those that were the newest then. No setup: none.
    """
    if setup is None:
        return []
    stands = Q(chain__struck_at=None)
    if at:
        stands |= Q(chain__struck_at__gt=at)
    revisions = Revision.objects.filter(stands, chain__setup=setup).carrying(parts).newest(at)
    return list(revisions.order_by("chain__position", "chain_id"))


def changed_in_place(revisions: Collection[Revision], *, after: datetime) -> set[int]:
    """The keys of those whose units or placement were edited since: how they stood before is not
    known any more. What was edited later than now was so before the clock was set back."""
    keys = [revision.pk for revision in revisions]
    since = {"history_date__gt": after, "history_date__lte": timezone.now()}
    return {
        key
        for thing in (Stage, Placement)
        for key in thing.history.filter(revision__in=keys, **since).values_list(
            "revision", flat=True
        )
    }
