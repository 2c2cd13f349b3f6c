"""What has to be plugged so that outputs reach inputs: cords, what normals already make, what breaks.

Pure functions over plain values. What a plug does to a normal, `NormalLink.holds`
says; the rest follows from it: a jack holds one plug, an input is fed once, and
copies of a source are taken from a mult.
"""

from collections import defaultdict
from collections.abc import Hashable, Iterable
from dataclasses import replace

from gear.patchbay.patch_list import (
    BrokenNormal,
    End,
    Link,
    MultUse,
    PatchList,
    Tap,
    TieLineUse,
)
from gear.patchbay.wiring import Jack, Wiring


def patch(wishes: Iterable[Link], wiring: Wiring) -> PatchList:
    """What to plug for these connections, wished for in the order from source to track."""
    links = _merged(_fed_mults(list(wishes), wiring))
    direct = [link for link in links if not link.jacks]
    normalled = [link for link in links if _is_normalled(link, wiring)]
    cords = [link for link in links if link.jacks and link not in normalled]
    plugged = _plugged(cords)
    by_normal = [
        link for link in normalled if wiring.normal_into[link.destination.key].holds(plugged)
    ]
    # What its normal does not make needs a cord; where that makes a clash, `clashes.py` says so.
    cords = [link for link in links if link.jacks and link not in by_normal]
    return PatchList(
        cords=tuple(sorted(cords, key=lambda cord: not cord.is_microphone_line)),
        by_normal=tuple(by_normal),
        direct=tuple(direct),
        normals_broken=tuple(_broken(wiring, cords, links)),
        taps=tuple(_taps(wiring, cords, by_normal)),
        tie_lines=tuple(_tie_lines(links)),
        mults=tuple(_mults(links)),
    )


def _merged(links: Iterable[Link]) -> list[Link]:
    """One link for each output and input, with all chains that want it."""
    found: dict[tuple[End, End], Link] = {}
    for link in links:
        ends = link.source, link.destination
        before = found.get(ends)
        if before:
            chains = tuple(dict.fromkeys(before.chains + link.chains))
            length = before.cord_cm or link.cord_cm
            found[ends] = replace(before, chains=chains, cord_cm=length)
        else:
            found[ends] = link
    return list(found.values())


def _fed_mults(wishes: list[Link], wiring: Wiring) -> Iterable[Link]:
    """The wishes; before each that takes a copy from a mult, what feeds that mult.

    Whoever names one jack of a mult for several inputs is given its next jacks.
    """
    taken = {wish.source.jack: None for wish in wishes if wish.source.jack}
    for wish in wishes:
        jack = wish.source.jack
        if jack and jack.mult:
            jacks = wiring.mults[jack.bay, jack.mult]
            entry = next((each for each in jacks if each not in taken), jacks[0])
            yield _feed(wish, entry, wiring)
            wish = _copied(wish, [each for each in jacks if each != entry], taken)
        yield wish


def _feed(wish: Link, entry: Jack, wiring: Wiring) -> Link:
    """From the unit's own output to the jack of the mult that gives no copy."""
    source = wish.source
    outputs = wiring.of_unit(source.unit_id, "send", source.channel)
    own = outputs[0] if len(outputs) == 1 else None
    return Link(
        End(source.name, own, source.unit_id, () if own else outputs, tag=source.tag),
        End(f"Mult {entry.mult}", entry, path=wish.destination.path),
        wish.chains,
    )


def _copied(wish: Link, jacks: list[Jack], taken: dict[Jack, Hashable | None]) -> Link:
    """The wish from a jack that feeds nothing else, as long as the mult has one."""
    goal, named = wish.destination.key, wish.source.jack
    for jack in (named, *jacks):
        is_ours = jack == named or jack not in taken
        if taken.get(jack) == goal or (is_ours and taken.get(jack) is None):
            taken[jack] = goal
            return replace(wish, source=replace(wish.source, jack=jack))
    return wish


def _is_normalled(link: Link, wiring: Wiring) -> bool:
    return len(link.jacks) == 2 and wiring.is_normalled(*link.jacks)


def _plugged(cords: Iterable[Link]) -> set[int]:
    return {jack.pk for cord in cords for jack in cord.jacks}


def _broken(wiring: Wiring, cords: list[Link], links: list[Link]) -> Iterable[BrokenNormal]:
    plugged = _plugged(cords)
    chains = defaultdict(dict)
    for link in links:
        chains[link.source.key] |= dict.fromkeys(link.chains)
    for normal in wiring.normals:
        if normal.holds(plugged):
            continue
        upper, lower = wiring.by_key[normal.source], wiring.by_key[normal.destination]
        jack = lower if lower.pk in plugged else upper
        by = tuple(cord for cord in cords if jack in cord.jacks)
        yield BrokenNormal(upper, lower, normal.kind, jack, by, tuple(chains[upper.pk]))


def _taps(wiring: Wiring, cords: list[Link], by_normal: list[Link]) -> Iterable[Tap]:
    plugged, wanted = _plugged(cords), {link.destination.key for link in by_normal}
    for normal in wiring.normals:
        is_tapped = normal.holds(plugged) and normal.source in plugged
        if is_tapped and normal.destination not in wanted:
            upper, lower = wiring.by_key[normal.source], wiring.by_key[normal.destination]
            chains = [chain for cord in cords if upper in cord.jacks for chain in cord.chains]
            yield Tap(upper, lower, tuple(dict.fromkeys(chains)))


def _tie_lines(links: list[Link]) -> list[TieLineUse]:
    found: dict[tuple, TieLineUse] = {}
    for link in links:
        for end in (link.source, link.destination):
            if end.jack and end.jack.tie_line:
                key = end.jack.pk, end.name
                chains = found[key].chains if key in found else ()
                chains = tuple(dict.fromkeys(chains + link.chains))
                found[key] = TieLineUse(end.jack.tie_line, end.jack, end.name, chains)
    return list(found.values())


def _mults(links: list[Link]) -> Iterable[MultUse]:
    for feed in links:
        entry = feed.destination.jack
        if entry and entry.mult:
            copies = {
                link.source.jack: None
                for link in links
                if link.source.jack
                and (link.source.jack.bay, link.source.jack.mult) == (entry.bay, entry.mult)
            }
            yield MultUse(
                f"{entry.bay}, mult {entry.mult}", feed.source, tuple(copies), feed.chains
            )
