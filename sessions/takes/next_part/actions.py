"""Going on to another part: who performs it, and through which chain."""

from collections.abc import Sequence
from dataclasses import dataclass

from gear.acting import action
from gear.editing.versions import claim_version
from gear.equipment.models import Unit
from sessions.clients.models import Person
from sessions.setups.chains.actions import change_parts
from sessions.setups.models import Chain
from sessions.setups.swapping.actions import copy_with_microphone, set_up_again
from sessions.songs.models import Part


@dataclass(frozen=True)
class Begun:
    """`struck`: the chains that had to give up their place. `lost`: what a copy could not take over."""

    chains: tuple[Chain, ...]
    struck: tuple[Chain, ...] = ()
    lost: tuple[str, ...] = ()


@action
def begin_part(
    part: Part,
    *,
    version: int,
    chains: Sequence[Chain],
    by,
    performer: Person | None = None,
    microphone: Unit | None = None,
) -> Begun:
    """Let these chains carry the part; with another `microphone`, a copy of the one that is given.

    Raises EditedMeanwhile where a performer is given and somebody saved the part after `version`,
    ChainRecorded, NoMicrophone or OutOfService.
    """
    if performer and performer != part.performer:
        claim_version(part, version)
        part.performer = performer
        part.save()
    if microphone:
        return _copy(part, chains[0], microphone, by=by)
    struck = []
    for chain in chains:
        if chain.struck_at:
            struck += set_up_again(chain, by=by)
        if not chain.carries(part):
            change_parts(chain, add=[part], remove=[], by=by)
    return Begun(tuple(chains), tuple(struck))


def _copy(part: Part, chain: Chain, microphone: Unit, *, by) -> Begun:
    """Somebody else than its source's performer is a source of their own."""
    other = part.performer and chain.source.performer not in (None, part.performer)
    swapped = copy_with_microphone(
        chain,
        microphone=microphone,
        track=part.name,
        source=part.name if other else chain.source.name,
        parts=[part],
        by=by,
    )
    copy = swapped.revision.chain
    if other and copy.source.performer is None:
        copy.source.performer = part.performer
        copy.source.save()
    return Begun((copy,), (chain,), swapped.lost)
