"""The patch lists of an imported sheet, between the units and jacks that its chains name."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from gear.patchbay.clashes import Clash, clashes_of
from gear.patchbay.models import NormalKind
from gear.patchbay.patch_list import End, Link, PatchList
from gear.patchbay.patching import patch
from gear.patchbay.wiring import Jack, NormalLink, Wiring
from sessions.recall.imported.shown.things import Things
from sessions.recall.sheet.patch_data import patch_list_of
from sessions.recall.sheet.song_patch import PatchedLot, SongPatch, chains_in_words, numbered
from sessions.setups.models import Revision
from sessions.setups.patching.patch_list import Patching, patching_of, wishes_of
from sessions.setups.patching.plugs import PlugList


def patching_told(data: dict | None, revision: Revision, things: Things) -> Patching:
    """As the file has it; of the first version, which had none, by the jacks that its units name."""
    if data is None:
        return patching_of([revision], Wiring(things.jacks))
    return Patching(_placed(patch_list_of(data), things, (revision.chain,)), ())


def patch_told(
    data: dict | None, chains: Iterable[tuple[Revision, PatchList]], things: Things
) -> SongPatch:
    """The list of the whole sheet as the file has it, by what stood together. Before the sixth version
    there was none: of what the chains’ own say, as if all of it was patched at once."""
    chains = list(chains)
    if data is None:
        return numbered([_all_at_once(chains, things)])
    return numbered(
        PatchedLot(
            tuple(lot["chains"]),
            lot["where"],
            _placed(patch_list_of(lot["patch_list"]), things),
            PlugList(
                (),
                (),
                tuple(Clash("warning", reason, "", ()) for reason in lot["clashes"]),
                tuple(lot["returns"]),
            ),
            (),
        )
        for lot in data["lots"]
    )


def _all_at_once(chains: list[tuple[Revision, PatchList]], things: Things) -> PatchedLot:
    wiring = wiring_told((patch_list for _, patch_list in chains), things)
    wanted = (wish for revision, _ in chains for wish in wishes_of(revision, wiring))
    clashes = tuple(clashes_of(patch(wanted, wiring), wiring))
    places = tuple(revision.pk for revision, _ in chains)
    patch_lists = [patch_list for _, patch_list in chains]
    return PatchedLot(places, "", _joined(places, patch_lists), PlugList((), (), clashes), ())


def _joined(places: Iterable[int], patch_lists: list[PatchList]) -> PatchList:
    """Lists of single chains as one, each link with the places of the chains that have it."""
    served = defaultdict(list)
    for place, patch_list in zip(places, patch_lists, strict=True):
        for link in patch_list.links:
            served[link.ends].append(place)

    def links(name: str) -> tuple[Link, ...]:
        found = {link.ends: link for each in patch_lists for link in getattr(each, name)}
        return tuple(
            replace(link, chains=(chains_in_words(served[link.ends]),)) for link in found.values()
        )

    def all_of(name: str) -> tuple:
        return tuple(thing for each in patch_lists for thing in getattr(each, name))

    cords = links("cords")
    return PatchList(
        cords=tuple(sorted(cords, key=lambda cord: not cord.is_microphone_line)),
        by_normal=links("by_normal"),
        direct=links("direct"),
        normals_broken=tuple(
            replace(
                broken,
                by=tuple(cord for cord in cords if broken.plugged in cord.jacks),
                chains=tuple(map(str, broken.chains)),
            )
            for broken in dict.fromkeys(all_of("normals_broken"))
        ),
        taps=tuple(dict.fromkeys(all_of("taps"))),
        tie_lines=all_of("tie_lines"),
        mults=tuple(dict.fromkeys(all_of("mults"))),
    )


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


def _placed(found: PatchList, things: Things, chains: tuple = ()) -> PatchList:
    """The same, with jacks and units by their keys on this sheet; `chains`: where it does not say
    whom a link serves."""
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
    ends = _end(link.source, things), _end(link.destination, things)
    return Link(*ends, link.chains or chains, link.cord_cm)


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
