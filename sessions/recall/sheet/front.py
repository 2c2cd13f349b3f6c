"""The page for the whole song, before its chains: what is needed, switched on and patched."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from gear.equipment.cautions import harmed_by_phantom
from gear.equipment.models import Category, Phantom
from gear.patchbay.clashes import Clash, clashes_of
from gear.patchbay.patch_list import MultUse
from gear.patchbay.patching import patch
from gear.patchbay.wiring import Wiring
from sessions.recall.sheet.spine import CordKey, How, Plug, cord_key, plug_of
from sessions.setups.models import Revision
from sessions.setups.models.snapshot import UnitFacts
from sessions.setups.patching.patch_list import Patching, wishes_of

HEARS = (Category.MICROPHONE, Category.DI_BOX)
PHANTOM = {
    Phantom.NEEDED: "48 V on",
    Phantom.HARMFUL: "never 48 V",
    Phantom.HARMLESS: "48 V not needed",
}
ONE_OF_TWO = "no 48 V: one needs it, the other is damaged"


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


@dataclass(frozen=True)
class PatchLine:
    plug: Plug
    chains: tuple[int, ...]


@dataclass(frozen=True)
class SongPatch:
    """One patch list for all chains. `clashes`: what can't be plugged for all of them at once."""

    lines: tuple[PatchLine, ...]
    mults: tuple[MultUse, ...]
    clashes: tuple[Clash, ...]

    def of(self, how: How) -> list[PatchLine]:
        return [line for line in self.lines if line.plug.how == how]

    @cached_property
    def cords(self) -> list[PatchLine]:
        return self.of(How.CORD)

    @cached_property
    def by_normal(self) -> list[PatchLine]:
        return self.of(How.NORMAL)

    @cached_property
    def direct(self) -> list[PatchLine]:
        return self.of(How.DIRECT)

    @property
    def has_microphone_lines(self) -> bool:
        return any(line.plug.link.is_microphone_line for line in self.cords)


def cord_numbers(chains: Iterable[ChainPlugs]) -> dict[CordKey, int]:
    """Each cord of the song once, microphone lines first."""
    cords = {cord_key(cord): cord for chain in chains for cord in chain.patching.patch_list.cords}
    in_order = sorted(cords, key=lambda key: not cords[key].is_microphone_line)
    return {key: number for number, key in enumerate(in_order, 1)}


def song_patch(chains: list[ChainPlugs], numbers: dict[CordKey, int], wiring: Wiring) -> SongPatch:
    lines: dict[tuple[CordKey, How], PatchLine] = {}
    for chain in chains:
        patch_list = chain.patching.patch_list
        for link in patch_list.links:
            plug = plug_of(link, patch_list, numbers)
            key = cord_key(link), plug.how
            before = lines[key].chains if key in lines else ()
            lines[key] = PatchLine(plug, (*before, chain.number))
    mults = {use: None for chain in chains for use in chain.patching.patch_list.mults}
    in_order = sorted(lines.values(), key=lambda line: line.plug.number or 0)
    return SongPatch(tuple(in_order), tuple(mults), tuple(_clashes(chains, wiring)))


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
        for stage in chain.revision.stages.all():
            unit, supply = stage.facts.unit, stage.facts.unit.supply
            pair = [unit, supply] if supply else [unit]
            warm_up = max(each.model.warm_up_minutes for each in pair)
            for behind, each in enumerate(pair):
                units[each.pk] = each
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


def phantom_words(revision: Revision) -> str:
    """What today's record says of 48 V at the chain's input; empty where nothing there asks."""
    units = [stage.unit for stage in revision.stages.all()]
    needs = [unit.model.phantom_need for unit in units if unit.model.category in HEARS]
    if not harmed_by_phantom(units):
        return PHANTOM[needs[0]] if needs else ""
    return ONE_OF_TWO if Phantom.NEEDED in needs else PHANTOM[Phantom.HARMFUL]
