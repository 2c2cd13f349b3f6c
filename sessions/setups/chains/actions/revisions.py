from functools import partial
from typing import NamedTuple

from django.db.models import Q
from django.utils import timezone
from simple_history.utils import bulk_create_with_history

from gear.acting import action, at_the_end
from gear.editing.versions import EditedMeanwhile, claim_version
from sessions.setups.chains.actions.fixing import fix_revision
from sessions.setups.chains.actions.locks import lock
from sessions.setups.models import Chain, ChainGroup, Placement, Revision, Stage


class Seen(NamedTuple):
    """The state of a chain that an editor had before them: a revision and the count of its edits."""

    revision_id: int
    version: int

    @classmethod
    def of(cls, revision: Revision) -> "Seen":
        return cls(revision.pk, revision.version)

    def __str__(self) -> str:
        return f"{self.revision_id}.{self.version}"


@action
def open_revision(chain: Chain, *, by) -> Revision:
    """The newest revision if it is open, else a copy of it under the next number."""
    newest = lock_newest(chain)
    if not newest.is_fixed:
        return newest
    return copy_revision(newest, chain=chain, number=newest.number + 1, by=by)


def claim_revision(chain: Chain, *, seen: Seen, by) -> Revision:
    """The open revision on which an edit of what was `seen` is to be saved, now counted as edited.

    Call inside the transaction that makes the change. That the revision was fixed in the meantime
    changes nothing for the editor: the edit is made on a copy. Raises EditedMeanwhile, with the
    newest revision, when another edit came first.
    """
    return claim_newest(lock_newest(chain), seen=seen, by=by)


def claim_newest(newest: Revision, *, seen: Seen, by) -> Revision:
    """`claim_revision` for who has locked the chain's newest revision already."""
    if newest.pk != seen.revision_id:
        raise EditedMeanwhile(newest)
    if not newest.is_fixed:
        claim_version(newest, seen.version)
        return newest
    if newest.version != seen.version:
        raise EditedMeanwhile(newest)
    copy = copy_revision(newest, chain=newest.chain, number=newest.number + 1, by=by)
    at_the_end(partial(_log_on_rolling_takes, newest, copy))
    return copy


def _log_on_rolling_takes(before: Revision, after: Revision) -> None:
    """Takes that roll through the revision before go on through the one after, from now on."""
    rolling = before.takes.filter(ended_at=None).select_for_update(of=("self",)).order_by("pk")
    for take in rolling:
        now = timezone.now()
        heard = before.through.get(take=take).heard
        fix_revision(after, at=now)
        after.through.create(take=take, heard=heard, since=now)


def lock_newest(chain: Chain) -> Revision:
    """The newest revision, while edits and takes of the chain queue until the transaction ends."""
    lock(chain.pk)
    return chain.revisions.newest().get()


def lock_with_partners(*chains: Chain) -> None:
    """The same with the other half of a pair that is set alike, all in one order."""
    alike = ChainGroup.objects.filter(chains__in=chains, is_matched=True)
    ours = Q(pk__in=[chain.pk for chain in chains]) | Q(group__in=alike)
    list(Chain.objects.select_for_update(of=("self",)).filter(ours).order_by("pk"))


def _begin_as_copy(stage: Stage, *, of: Chain) -> None:
    """In another chain. Where that stands in the same setup, a channel of its own is not set yet; a
    unit that both chains go through stands as it is set."""
    setup, channel, not_yet_set = stage.revision.chain.setup, stage.channel, stage.not_yet_set
    stage.begin_as_copy()
    if setup != of.setup:
        return
    if channel:
        stage.channel = setup.free_channel(stage.unit, rather=channel)
    if stage.channel == channel and setup.is_up:
        stage.not_yet_set = [key for key in not_yet_set if key in stage.settings]


def copy_revision(revision: Revision, *, chain: Chain, number: int, by) -> Revision:
    goes_on = revision.chain_id == chain.pk
    facts = Revision.SOURCE_FACTS
    if goes_on:  # what was read off the chain itself; another chain is yet to be read
        facts += (*Revision.TONE_FACTS, "readings_from")
    copy = Revision.objects.create(
        chain=chain,
        number=number,
        created_by=by,
        **{name: getattr(revision, name) for name in facts},
    )
    stages = list(Stage.objects.filter(revision=revision).for_list())
    placements = list(Placement.objects.filter(revision=revision))
    for thing in [*stages, *placements]:
        thing.pk = None
        thing._state.adding = True
        thing.revision = copy
    for stage in stages:
        stage.snapshot = {}
        if not goes_on:
            _begin_as_copy(stage, of=revision.chain)
    bulk_create_with_history(stages, Stage)
    bulk_create_with_history(placements, Placement)
    return copy
