"""The page for the whole song, before its chains: what is needed, switched on and patched."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from gear.patchbay.clashes import Clash, clashes_of
from gear.patchbay.patching import patch
from gear.patchbay.wiring import Wiring
from sessions.setups.models import Revision
from sessions.setups.models.snapshot import UnitFacts
from sessions.setups.patching.patch_list import Patching, wishes_of
from sessions.setups.patching.plugs import (
    CordKey,
    How,
    Plug,
    PlugLine,
    PlugList,
    cord_key,
    plug_of,
)


@dataclass(frozen=True)
class ChainPlugs:
    """What a chain is patched with; number is the chain's on the sheet."""

    number: int
    revision: Revision
    patching: Patching


@dataclass(frozen=True)
class NeededUnit:
    """A unit, the chains that it stands in, and how long it must be on before it is used.

    `feeds` are the microphones whose cables are plugged into it before it is switched on.
    """

    unit: UnitFacts
    chains: tuple[int, ...]
    warm_up_minutes: int
    feeds: tuple[UnitFacts, ...]


def song_patch(chains: list[ChainPlugs], numbers: dict[CordKey, int], wiring: Wiring) -> PlugList:
    """One patch list for all chains."""
    plugs: dict[tuple[CordKey, How], Plug] = {}
    wanted_by = defaultdict(list)
    for chain in chains:
        patch_list = chain.patching.patch_list
        for link in patch_list.links:
            plug = plug_of(link, patch_list, numbers)
            plugs[cord_key(link), plug.how] = plug
            wanted_by[cord_key(link), plug.how].append(f"{chain.number}")
    lines = (PlugLine(plug, f"chain {', '.join(wanted_by[key])}") for key, plug in plugs.items())
    mults = {use: None for chain in chains for use in chain.patching.patch_list.mults}
    return PlugList(
        tuple(sorted(lines, key=lambda line: line.plug.number or 0)),
        tuple(mults),
        tuple(_clashes(chains, wiring)),
    )


def _clashes(chains: list[ChainPlugs], wiring: Wiring) -> list[Clash]:
    revisions = [chain.revision for chain in chains]
    then = wiring.as_it_was(revision.wiring for revision in revisions)
    return clashes_of(patch((w for r in revisions for w in wishes_of(r, then)), then), then)


def needed_units(chains: Iterable[ChainPlugs]) -> list[NeededUnit]:
    """In the order in which they are switched on: what must warm up first, then as the signal goes,
    what is only monitored last. A microphone stands before the supply that it is plugged into."""
    units: dict[int, UnitFacts] = {}
    numbers, minutes = defaultdict(dict), defaultdict(int)
    places, feeds = {}, defaultdict(dict)
    for chain in chains:
        if amplifier := chain.revision.hears_amplifier:
            units[amplifier.pk] = amplifier
            numbers[amplifier.pk][chain.number] = None
            minutes[amplifier.pk] = amplifier.model.warm_up_minutes
            places.setdefault(amplifier.pk, (False, 0))
        for stage in chain.revision.stages.all():
            unit, supply = stage.facts.unit, stage.facts.unit.supply
            pair = [unit, supply] if supply else [unit]
            warm_up = max(each.model.warm_up_minutes for each in pair)
            for behind, each in enumerate(pair):
                units[each.pk] = replace(each, channel=None)
                numbers[each.pk][chain.number] = None
                minutes[each.pk] = max(minutes[each.pk], warm_up)
                place = not stage.is_printed, stage.position + behind / 2
                places.setdefault(each.pk, place)
            if supply:
                feeds[supply.pk][unit] = None
    return [
        NeededUnit(units[key], tuple(numbers[key]), minutes[key], tuple(feeds[key]))
        for key in sorted(units, key=lambda key: (-minutes[key], *places[key]))
    ]
