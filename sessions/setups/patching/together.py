"""Which chains stood at the same time, and how all of those were patched.

What one chain's cord does to another's jack holds for the two only while both stand: a list for each
lot of chains that stood together says nothing that another chain of it contradicts.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from gear.patchbay.wiring import Wiring
from sessions.setups.models import Revision
from sessions.setups.patching.patch_list import Patching, patching_of


@dataclass(frozen=True)
class PatchedTogether:
    """`wiring`: how the bays were wired then."""

    revisions: tuple[Revision, ...]
    patching: Patching
    wiring: Wiring


@dataclass(frozen=True)
class Standing:
    """A chain as it was patched for a while, through however many of its revisions."""

    revisions: tuple[Revision, ...]
    since: datetime
    until: datetime | None

    def is_there(self, moment: datetime) -> bool:
        is_alone = self.until is not None and self.until <= self.since
        begun = self.since <= moment
        return begun and not is_alone and (self.until is None or moment < self.until)


def patched_together(revisions: Iterable[Revision], wiring: Wiring) -> list[PatchedTogether]:
    """In the order of the revisions, which are loaded `with_stages`; then no query. Each stands in one
    list at least; in several, where others came or went meanwhile."""
    revisions = list(revisions)
    found = (
        [revision for revision in revisions if revision in together]
        for together in stood_together(standings(revisions))
    )
    in_order = sorted(found, key=lambda ours: [revisions.index(each) for each in ours])
    return [_patched(ours, wiring) for ours in in_order]


def _patched(revisions: list[Revision], wiring: Wiring) -> PatchedTogether:
    then = wiring.as_it_was(revision.wiring for revision in revisions)
    return PatchedTogether(tuple(revisions), patching_of(revisions, then), then)


def stood_together(standing: Iterable[Standing]) -> Iterator[set[Revision]]:
    """The largest lots that stood at one moment. Sessions never do: teardown lies between."""
    by_session = defaultdict(list)
    for each in standing:
        by_session[each.revisions[0].chain.setup.session_id].append(each)
    for ours in by_session.values():
        lots = {
            frozenset({each, *(other for other in ours if other.is_there(each.since))})
            for each in ours
        }
        for lot in lots:
            if not any(lot < other for other in lots):
                yield {revision for each in lot for revision in each.revisions}


def standings(revisions: Iterable[Revision]) -> Iterator[Standing]:
    """From when a chain was patched so until it was patched otherwise or struck, by these revisions."""
    of_chain = defaultdict(list)
    for revision in revisions:
        of_chain[revision.chain_id].append(revision)
    for ours in of_chain.values():
        ours.sort(key=lambda revision: revision.number)
        runs = [tuple(run) for _, run in groupby(ours, key=_patched_as)]
        for run, after in zip(runs, [*runs[1:], None], strict=True):
            chain = run[0].chain
            ends = [chain.struck_at, chain.setup.struck_at, after and after[0].created_at]
            until = min((end for end in ends if end), default=None)
            yield Standing(run, run[0].created_at, until)


def _patched_as(revision: Revision) -> tuple:
    """Which units at which jacks, in their order."""
    return tuple(
        (
            stage.unit_id,
            stage.channel,
            stage.path,
            stage.facts.patch_in and stage.facts.patch_in.pk,
            stage.facts.patch_out and stage.facts.patch_out.pk,
        )
        for stage in revision.stages.all()
    )
