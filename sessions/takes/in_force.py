from collections.abc import Collection

from sessions.setups.models import Revision, Setup
from sessions.songs.models import Part, Song


def parts_set_up(setup: Setup | None, song: Song) -> list[Part]:
    """The parts of the song that the setup's chains carry: what is recorded if nobody says otherwise."""
    return list(song.parts.filter(chains__setup=setup).distinct()) if setup else []


def revisions_in_force(setup: Setup | None, parts: Collection[Part]) -> list[Revision]:
    """The revisions that a take of the parts is recorded through while the setup stands.

    The newest of each chain that carries one of them, or whatever is recorded. No setup: none.
    """
    if setup is None:
        return []
    revisions = (
        Revision.objects.filter(chain__setup=setup)
        .newest()
        .select_related("chain__setup__session__project", "chain__source")
        .prefetch_related("chain__parts")
        .order_by("chain__position", "chain_id")
    )
    return [each for each in revisions if any(map(each.chain.carries, parts))]
