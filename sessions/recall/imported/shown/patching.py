"""The patch lists of an imported sheet, between the units and jacks that its chains name."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from gear.patchbay.clashes import clashes_of
from gear.patchbay.models import NormalKind
from gear.patchbay.patch_list import End, Link, PatchList
from gear.patchbay.patching import patch
from gear.patchbay.wiring import Jack, NormalLink, Wiring
from sessions.recall.imported.shown.things import Things
from sessions.recall.sheet.contents import ChainSheet
from sessions.recall.sheet.patch_data import patch_list_of
from sessions.recall.sheet.song_patch import PatchedLot, SongPatch, chains_in_words
from sessions.setups.models import Revision
from sessions.setups.patching.patch_list import Patching, patching_of, wishes_of
from sessions.setups.patching.plugs import (
    CordKey,
    How,
    Plug,
    PlugLine,
    PlugList,
    cord_key,
    plug_of,
)


def patching_told(data: dict | None, revision: Revision, things: Things) -> Patching:
    """As the file has it; of the first version, which had none, by the jacks that its units name."""
    if data is None:
        return patching_of([revision], Wiring(things.jacks))
    return Patching(_placed(patch_list_of(data), things, (revision.chain,)), ())


def patch_told(
    chains: Iterable[ChainSheet], numbers: dict[CordKey, int], things: Things
) -> SongPatch:
    """One list of what the chains’ own say, and what clashes if all of it is patched at once."""
    chains = list(chains)
    plugs: dict[tuple[CordKey, How], Plug] = {}
    wanted_by, mults = defaultdict(list), {}
    for chain in chains:
        patch_list = chain.patching.patch_list
        mults |= dict.fromkeys(patch_list.mults)
        for link in patch_list.links:
            plug = plug_of(link, patch_list, numbers)
            plugs[cord_key(link), plug.how] = plug
            wanted_by[cord_key(link), plug.how].append(chain.number)
    lines = (PlugLine(plug, chains_in_words(wanted_by[key])) for key, plug in plugs.items())
    in_order = sorted(lines, key=lambda line: line.plug.number or 0)
    wiring = wiring_told((chain.patching.patch_list for chain in chains), things)
    wanted = (wish for chain in chains for wish in wishes_of(chain.revision, wiring))
    clashes = clashes_of(patch(wanted, wiring), wiring)
    all_at_once = PlugList(tuple(in_order), tuple(mults), tuple(clashes))
    return SongPatch((PatchedLot(tuple(chain.number for chain in chains), "", all_at_once, ()),))


def wiring_told(patch_lists: Iterable[PatchList], things: Things) -> Wiring:
    """The jacks that are named, and as many of the normals between them as the lists speak of."""
    normals: dict[tuple[int, int], str] = {}
    for found in patch_lists:
        for link in found.by_normal:
            normals.setdefault(tuple(jack.pk for jack in link.jacks), NormalKind.HALF)
        for tap in found.taps:
            normals[tap.upper.pk, tap.lower.pk] = NormalKind.HALF
        for broken in found.normals_broken:
            normals[broken.upper.pk, broken.lower.pk] = broken.kind
    links = (NormalLink(*ends, kind) for ends, kind in normals.items() if len(ends) == 2)
    return Wiring(things.jacks, tuple(links))


def _placed(found: PatchList, things: Things, chains: tuple) -> PatchList:
    """The same, with jacks and units by their keys on this sheet."""
    links = {id(link): _link(link, things, chains) for link in found.links}

    def ours(those: Iterable[Link]) -> tuple[Link, ...]:
        return tuple(links[id(link)] for link in those)

    return PatchList(
        cords=ours(found.cords),
        by_normal=ours(found.by_normal),
        direct=ours(found.direct),
        normals_broken=tuple(
            replace(
                broken,
                upper=_jack(broken.upper, things),
                lower=_jack(broken.lower, things),
                plugged=_jack(broken.plugged, things),
                by=ours(broken.by),
                chains=tuple(things.chains.get(name, name) for name in broken.chains),
            )
            for broken in found.normals_broken
        ),
        taps=tuple(
            replace(tap, upper=_jack(tap.upper, things), lower=_jack(tap.lower, things))
            for tap in found.taps
        ),
        tie_lines=tuple(replace(use, jack=_jack(use.jack, things)) for use in found.tie_lines),
        mults=tuple(
            replace(
                use,
                source=_end(use.source, things),
                copies=tuple(_jack(jack, things) for jack in use.copies),
            )
            for use in found.mults
        ),
    )


def _link(link: Link, things: Things, chains: tuple) -> Link:
    return Link(_end(link.source, things), _end(link.destination, things), chains)


def _end(end: End, things: Things) -> End:
    unit = things.named.get(end.name)
    return replace(
        end,
        jack=end.jack and _jack(end.jack, things),
        unit_id=unit and unit.pk,
        channel=unit and unit.channel,
        choices=tuple(_jack(jack, things) for jack in end.choices),
    )


def _jack(jack: Jack, things: Things) -> Jack:
    return things.jack(vars(jack))
