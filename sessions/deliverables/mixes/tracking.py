"""A mix beside the chains that its songs were recorded through."""

from collections import defaultdict

from django.db.models import Q

from sessions.deliverables.mixes.models import MixRevision
from sessions.deliverables.models import Deliverable
from sessions.setups.models import Path, Stage


def heard_only(revision: MixRevision) -> dict[tuple[int, int | None], list[str]]:
    """The units of the mix, with their channels, that were monitor only while its songs were tracked,
    and on which chains: what they do was heard then and not recorded, and is printed now. Of a unit
    whose channel is not said on one side, any. One query for a revision loaded `with_strips`."""
    songs = revision.setup.songs.all()
    inserts = revision.inserts()
    recorded = Q(revision__takes__song__in=songs) | Q(revision__chain__parts__song__in=songs)
    stages = (
        Stage.objects.filter(recorded, path=Path.MONITOR_ONLY)
        .filter(unit__in={insert.unit_id for insert in inserts})
        .select_related("revision__chain__source")
        .order_by("revision__chain__position", "revision__chain_id")
        .distinct()
    )
    found = defaultdict(dict)
    for stage in stages:
        for insert in inserts:
            alike = None in (stage.channel, insert.channel) or stage.channel == insert.channel
            if stage.unit_id == insert.unit_id and alike:
                found[insert.unit_id, insert.channel][str(stage.revision.chain)] = None
    return {key: list(chains) for key, chains in found.items()}


def heard_in(deliverable: Deliverable) -> list[str]:
    """The tags of such units in what the deliverable was printed through."""
    if deliverable.mix_revision_id is None:
        return []
    revision = MixRevision.objects.with_strips().get(pk=deliverable.mix_revision_id)
    heard = heard_only(revision)
    return [each.tag for each in revision.inserts() if (each.unit_id, each.channel) in heard]
