"""“As logged, no signal would pass: check”: what a sheet or report says first, by what it tells of."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from gear.patchbay.wiring import Wiring
from sessions.setups.models import Revision
from sessions.setups.patching.patch_list import patching_then
from sessions.setups.warnings.channels import channel_twice
from sessions.setups.warnings.power import phantom_power, valve_without_supply
from sessions.setups.warnings.warning import Warning
from sessions.setups.warnings.whole_setup import patch_clashes


def no_signal(at_a_time: Iterable[Iterable[Revision]], wiring: Wiring | None) -> list[Warning]:
    """Each once, over chains that were used at a time, loaded `with_stages`. Without a `wiring`,
    nothing is said of jacks."""
    found: dict[tuple[str, str], Warning] = {}
    for revisions in _widest(at_a_time):
        said = [
            warning
            for revision in revisions
            for warning in (*phantom_power(revision, revisions), *valve_without_supply(revision))
        ]
        said += channel_twice(revisions)
        if wiring and len(revisions) > 1:
            said += patch_clashes(patching_then(revisions, wiring))
        for warning in said:
            if warning.no_signal:
                found.setdefault((warning.reason, warning.advice), warning)
    return list(found.values())


def of_each_take(
    through: Iterable[tuple[int, int]], revisions: Iterable[Revision]
) -> Iterator[list[Revision]]:
    """The chains of each take, by what they were last if they were changed meanwhile. `through`: the keys
    of takes and of the revisions that they went through, in the order in which these came into force."""
    by_key, of_takes = {each.pk: each for each in revisions}, defaultdict(dict)
    for take, key in through:
        if revision := by_key.get(key):
            of_takes[take][revision.chain_id] = revision
    yield from (list(of_take.values()) for of_take in of_takes.values())


def _widest(at_a_time: Iterable[Iterable[Revision]]) -> list[list[Revision]]:
    """Without what another set contains, in their order."""
    sets = {frozenset(each.pk for each in some): some for some in map(list, at_a_time)}
    return [some for keys, some in sets.items() if not any(keys < others for others in sets)]
