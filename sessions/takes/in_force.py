from sessions.setups.models import Revision, Setup
from sessions.songs.models import Part


def revisions_in_force(setup: Setup | None, part: Part) -> list[Revision]:
    """The revisions that a take of the part is recorded through while the setup stands.

    The newest of each chain that records the part, and of each chain that serves no part in
    particular (room microphones, for one). No setup: none.
    """
    if setup is None:
        return []
    newest = {}
    revisions = Revision.objects.filter(chain__setup=setup).select_related(
        "chain__setup__session__project"
    )
    for revision in revisions.order_by("chain__position", "chain_id", "number"):
        if revision.chain.part_id in (None, part.pk):
            newest[revision.chain_id] = revision
    return list(newest.values())
