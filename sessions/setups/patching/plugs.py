"""What is plugged, line by line, each with what it breaks and taps: as sheets print it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from gear.patchbay.clashes import Clash
from gear.patchbay.patch_list import BrokenNormal, Link, MultUse, PatchList, Tap, TieLineUse

#: What makes two links one cord: where it is plugged, whatever was plugged into a wall box before it.
CordKey = tuple[str, str]


class How(StrEnum):
    CORD = "cord"
    NORMAL = "normal"
    DIRECT = "direct"


@dataclass(frozen=True)
class Plug:
    """One link; number is its cord's, None without a cord."""

    link: Link
    how: How
    number: int | None
    broken: tuple[BrokenNormal, ...]
    taps: tuple[Tap, ...]
    tie_lines: tuple[TieLineUse, ...]


@dataclass(frozen=True)
class PlugLine:
    """A plug, and in words the chains that it is for."""

    plug: Plug
    chains: str


@dataclass(frozen=True)
class PlugList:
    """`clashes`: what can't be plugged for all of it at once; `returns`: in words, where what feeds
    nothing on the list leads."""

    lines: tuple[PlugLine, ...]
    mults: tuple[MultUse, ...]
    clashes: tuple[Clash, ...] = ()
    returns: tuple[str, ...] = ()

    @property
    def cords(self) -> list[PlugLine]:
        return self._of(How.CORD)

    @property
    def by_normal(self) -> list[PlugLine]:
        return self._of(How.NORMAL)

    @property
    def direct(self) -> list[PlugLine]:
        return self._of(How.DIRECT)

    @property
    def wall_boxes(self) -> list[tuple[str, list[tuple[str, str]]]]:
        """By box: which line of it, and the unit that is plugged in there. Only units that go by a tag."""
        boxes = defaultdict(dict)
        for line in self.lines:
            for end in line.plug.link.ends:
                if end.jack and end.jack.tie_line and end.tag:
                    box, _, number = end.jack.tie_line.rpartition(" ")
                    boxes[box][number] = end.tag
        return [(box, sorted(lines.items(), key=_by_number)) for box, lines in boxes.items()]

    @property
    def has_microphone_lines(self) -> bool:
        return any(line.plug.link.is_microphone_line for line in self.cords)

    def _of(self, how: How) -> list[PlugLine]:
        return [line for line in self.lines if line.plug.how == how]


def _by_number(line: tuple[str, str]) -> int:
    return int(line[0]) if line[0].isdecimal() else 0


def plug_list(patch_list: PatchList, numbers: Mapping[CordKey, int] | None = None) -> PlugList:
    """As it is, with the names of the chains; its cords numbered by themselves unless given."""
    numbers = cord_numbers([patch_list]) if numbers is None else numbers
    lines = (
        PlugLine(plug_of(link, patch_list, numbers), "; ".join(map(str, link.chains)))
        for link in patch_list.links
    )
    return PlugList(tuple(lines), patch_list.mults)


def cord_numbers(patch_lists: Iterable[PatchList]) -> dict[CordKey, int]:
    """Each cord of them all once, list by list; in each as it has them, microphone lines first."""
    keys = dict.fromkeys(cord_key(cord) for patch_list in patch_lists for cord in patch_list.cords)
    return {key: number for number, key in enumerate(keys, 1)}


def cord_key(link: Link) -> CordKey:
    source, destination = (end.jack.name if end.jack else end.name for end in link.ends)
    return source, destination


def plug_of(link: Link, patch_list: PatchList, numbers: Mapping[CordKey, int]) -> Plug:
    how = _how(link, patch_list)
    return Plug(
        link,
        how,
        numbers.get(cord_key(link)) if how == How.CORD else None,
        tuple(broken for broken in patch_list.normals_broken if link in broken.by),
        tuple(tap for tap in patch_list.taps if tap.upper in link.jacks),
        tuple(use for use in patch_list.tie_lines if use.jack in link.jacks),
    )


def _how(link: Link, patch_list: PatchList) -> How:
    if link in patch_list.cords:
        return How.CORD
    return How.NORMAL if link in patch_list.by_normal else How.DIRECT
