"""What cannot be plugged, or must not be: an input fed twice, an output that is needed twice.

Common practice, no source: two outputs are never joined, since they drive each other; copies of one
source are taken from a mult or a half-normal; speaker level stays away from line inputs.
"""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass

from gear.audio.verdict import Severity
from gear.equipment.models import SignalLevel
from gear.patchbay.models import Side
from gear.patchbay.patch_list import End, Link, MultUse, PatchList
from gear.patchbay.wiring import Jack, Wiring


@dataclass(frozen=True)
class Clash:
    """What is wrong, what to do, and the chains that it concerns; `no_signal`: one of them would get
    none."""

    severity: Severity
    reason: str
    advice: str
    chains: tuple[Hashable, ...]
    no_signal: bool = False


def clashes_of(patching: PatchList, wiring: Wiring) -> list[Clash]:
    """All of them, the gravest first."""
    at_bay = patching.cords + patching.by_normal
    found = [
        *inputs_fed_twice(at_bay),
        *outputs_used_twice(patching, wiring),
        *two_units_at_one_jack(patching),
        *wrong_sides(at_bay),
        *mults_that_end_nowhere(patching.mults),
        *levels_apart(patching.cords),
        *wired_elsewhere(at_bay),
    ]
    return sorted(found, key=lambda clash: clash.severity != "warning")


def inputs_fed_twice(links: Iterable[Link]) -> Iterator[Clash]:
    for jack, feeding in _by_jack(links, lambda link: link.destination).items():
        sources = {link.source.key: _end_in_words(link.source) for link in feeding}
        if len(sources) < 2:
            continue
        words = _listed(sources.values())
        if jack.mult:
            yield Clash(
                "warning",
                f"Mult {jack.mult} of {jack.bay} would join {words}.",
                "A mult copies one source and never joins two, since their outputs drive each "
                "other: patch one of them elsewhere, or mix the two on a console.",
                _chains(feeding),
                no_signal=True,
            )
        else:
            yield Clash(
                "warning",
                f"{jack} is fed twice, from {words}.",
                "An input takes one source: choose another input for one of them.",
                _chains(feeding),
                no_signal=True,
            )


def outputs_used_twice(patching: PatchList, wiring: Wiring) -> Iterator[Clash]:
    free = _free_mults(patching, wiring)
    for jack, cords in _by_jack(patching.cords, lambda link: link.source).items():
        inputs = {link.destination.key: _end_in_words(link.destination) for link in cords}
        if len(inputs) < 2:
            continue
        yield Clash(
            "warning",
            f"{jack} would feed {_listed(inputs.values())}, and a jack takes one plug.",
            _how_to_copy(jack, len(inputs), free),
            _chains(cords),
        )


def _free_mults(patching: PatchList, wiring: Wiring) -> list[tuple[Jack, ...]]:
    plugged = {jack for cord in patching.cords for jack in cord.jacks}
    return [jacks for jacks in wiring.mults.values() if not plugged.intersection(jacks)]


def _how_to_copy(jack: Jack, copies: int, free: list[tuple[Jack, ...]]) -> str:
    if jack.mult:
        return f"Mult {jack.mult} has no jack left: take another, or feed one of them elsewhere."
    for jacks in free:
        if len(jacks) > copies and jacks[0].level == jack.level:
            return (
                f"Mult {jacks[0].mult} of {jacks[0].bay} is free: patch this unit out at "
                f"{jacks[1].place} instead. The patch list then adds the cord to the mult and its copies."
            )
    return (
        "No mult with enough jacks is free: feed one of them by a half-normal, or use a second "
        "output of the unit."
    )


def two_units_at_one_jack(patching: PatchList) -> Iterator[Clash]:
    """Two microphones on one line, or one jack given for two units."""
    ends = defaultdict(lambda: defaultdict(list))
    for link in patching.cords + patching.by_normal:
        for end in (link.source, link.destination):
            if end.jack and not end.jack.mult:
                ends[end.jack][end.name].append(link)
    for use in patching.tie_lines:
        ends[use.jack][use.name].append(use)
    for jack, names in ends.items():
        if len(names) > 1:
            line = f"{jack.tie_line} ({jack})" if jack.tie_line else f"{jack}"
            yield Clash(
                "warning",
                f"{line} is used for {_listed(names)}.",
                "One line takes one plug: choose another for one of them.",
                _chains(link for links in names.values() for link in links),
                no_signal=True,
            )


def wrong_sides(links: Iterable[Link]) -> Iterator[Clash]:
    for link in links:
        for end, side, said in (
            (link.source, Side.SEND, "is an input, but entered as an output"),
            (link.destination, Side.RETURN, "is a source, but entered as an input"),
        ):
            if end.jack and not end.jack.mult and end.jack.side != side:
                yield Clash(
                    "warning",
                    f"{end.jack} {said} ({end.name}).",
                    "Sources feed inputs; two sources on one cord drive each other. Choose the "
                    "jack on the other row.",
                    link.chains,
                )


def mults_that_end_nowhere(mults: Iterable[MultUse]) -> Iterator[Clash]:
    for use in mults:
        if not use.copies:
            yield Clash(
                "caution",
                f"{use.name} is fed from {use.source.name}, and nothing takes a copy there.",
                "A mult feeds no unit of itself: patch the unit before it out at a jack of the mult, "
                "and the patch list gives each copy a jack; or plug the two together.",
                use.chains,
            )


def levels_apart(cords: Iterable[Link]) -> Iterator[Clash]:
    """Speaker and digital lines; microphone against line level is a warning of the chain."""
    for cord in cords:
        for level in {SignalLevel.SPEAKER, SignalLevel.DIGITAL}.intersection(cord.levels):
            if len(cord.levels) == 1:
                continue
            danger = (
                "An amplifier’s output destroys a line input, and a jack can short it: never "
                "patch the two together, and keep speaker lines off this bay."
                if level == SignalLevel.SPEAKER
                else "A digital line carries no analogue audio: connect it to a digital input only."
            )
            yield Clash(
                "warning",
                f"{cord.source.jack} to {cord.destination.jack} joins {cord.level_in_words} level.",
                danger,
                cord.chains,
            )


def wired_elsewhere(links: Iterable[Link]) -> Iterator[Clash]:
    for link in links:
        for end in (link.source, link.destination):
            jack = end.jack
            if jack and jack.unit_id and end.unit_id and jack.unit_id != end.unit_id:
                yield Clash(
                    "caution",
                    f"{jack} is wired to another unit than {end.name}.",
                    "Choose the unit’s own jack, or correct the row of the bay.",
                    link.chains,
                )
            elif jack and jack.channel and end.channel and jack.channel != end.channel:
                yield Clash(
                    "caution",
                    f"{jack} is wired to channel {jack.channel}, not to {end.name}.",
                    "Choose the jack of that channel, or the channel of that jack.",
                    link.chains,
                )


def _by_jack(links: Iterable[Link], end_of) -> dict[Jack, list[Link]]:
    found = defaultdict(list)
    for link in links:
        if end_of(link).jack:
            found[end_of(link).jack].append(link)
    return found


def _end_in_words(end: End) -> str:
    return f"{end.jack}" if end.jack else end.name


def _listed(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last


def _chains(things: Iterable) -> tuple[Hashable, ...]:
    return tuple(dict.fromkeys(chain for thing in things for chain in thing.chains))
