from collections.abc import Iterable

from gear.acting import action, set_facts
from sessions.setups.chains.actions.revisions import (
    Seen,
    claim_revision,
    copy_revision,
    lock,
    lock_newest,
)
from sessions.setups.chains.actions.rows import next_position
from sessions.setups.chains.actions.sources import remove_unused, source_named
from sessions.setups.models import Chain, Revision, Setup
from sessions.songs.models import Part


class ChainRecorded(Exception):
    """Takes were recorded through the chain: what it was called then has to print the same."""

    def __init__(self, chain: Chain):
        self.chain = chain
        super().__init__(
            f"Takes were recorded through “{chain}”, so its source, track, input and "
            "their parts can’t change. Copy the chain to use others."
        )


@action
def add_chain(setup: Setup, *, by, source: str, parts: Iterable[Part] = (), **facts) -> Chain:
    """Add a chain, with an empty first revision, after those that the setup has."""
    facts |= {"source": source_named(setup, source), "position": next_position(setup.chains)}
    chain = Chain.objects.create(setup=setup, **facts)
    chain.parts.set(parts)
    Revision.objects.create(chain=chain, created_by=by)
    return chain


@action
def change_chain(
    chain: Chain,
    *,
    seen: Seen,
    by,
    source: str = "",
    parts: Iterable[Part] | None = None,
    **facts,
) -> Chain:
    """Change what the chain records. Raises ChainRecorded or EditedMeanwhile."""
    lock(chain.pk)
    if chain.is_recorded():
        raise ChainRecorded(chain)
    claim_revision(chain, seen=seen, by=by)
    before = chain.source
    if source:
        facts["source"] = source_named(chain.setup, source)
    set_facts(chain, **facts)
    chain.save()
    remove_unused(before)
    if parts is not None:
        chain.parts.set(parts)
    return chain


@action
def change_parts(chain: Chain, *, add: Iterable[Part], remove: Iterable[Part], by) -> None:
    """Let a chain carry further parts, or these no longer, also one that was recorded. Raises
    ChainRecorded where a take that there is would then have a part that came through it, or lose one.
    """
    lock(chain.pk)
    recorded, carried = set(chain.recorded_parts()), set(chain.parts.all())
    wanted = carried.union(add).difference(remove)
    if recorded & (wanted ^ carried) or (recorded and bool(wanted) != bool(carried)):
        raise ChainRecorded(chain)
    chain.parts.set(wanted)


@action
def copy_chain(
    chain: Chain,
    *,
    to: Setup,
    by,
    source: str,
    parts: Iterable[Part] = (),
    **facts,
) -> Chain:
    """A new chain in the setup `to` that starts as this one stands now; this one stays as it is.

    `facts` are what it records: track, input and the like.
    """
    facts |= {
        "source": source_named(to, source, like=chain.source),
        "position": next_position(to.chains),
    }
    copy = Chain.objects.create(setup=to, pinned=chain.pinned, **facts)
    copy.parts.set(parts)
    copy_revision(lock_newest(chain), chain=copy, number=1, by=by)
    return copy
