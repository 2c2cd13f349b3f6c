"""A chain along its signal path: each unit with what joins it to the one before, read in one place."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from gear.patchbay.patch_list import PatchList
from gear.patchbay.wiring import Jack
from sessions.setups.patching.connections import Connection
from sessions.setups.patching.plugs import CordKey, Plug, plug_of
from sessions.setups.signal_path.levels import in_columns
from sessions.setups.signal_path.units import StageSheet


@dataclass(frozen=True)
class Wire:
    """What carries the signal out of a stage: two plugs where a mult is between. Without a feeder
    where no levels are planned."""

    plugs: tuple[Plug, ...]
    feeder: StageSheet | None
    is_printed: bool

    @property
    def jacks(self) -> set[int]:
        return {jack.pk for plug in self.plugs for jack in plug.link.jacks}

    @property
    def columns(self) -> str:
        return in_columns(figure for _, figure in self.feeder.levels)


@dataclass(frozen=True)
class Place:
    """A unit on the path, the wire that feeds it, and the jacks that no wire names.

    is_last: it feeds nothing, so that no wire says how strong the signal leaves it; `leads`: where it
    returns then, in words.
    """

    sheet: StageSheet
    wire: Wire | None
    patched_in: Jack | None
    patched_out: Jack | None
    is_last: bool
    leads: str = ""


@dataclass(frozen=True)
class Spine:
    """From source to track. `out` leads on to the recorder's input, where one is named."""

    places: tuple[Place, ...]
    out: Wire | None


def spine(
    stages: Iterable[StageSheet],
    connections: Iterable[Connection],
    patch_list: PatchList,
    numbers: Mapping[CordKey, int],
    leads: Mapping[int, str],
) -> Spine:
    """Of a chain patched as the list says."""
    sheets = {sheet.stage.position: sheet for sheet in stages}
    wires = wires_of(connections, patch_list, numbers, sheets)
    feeding = {wire.feeder.stage.position for wire in wires.values()}
    named = set().union(*(wire.jacks for wire in wires.values()))
    # A chain beside it may have been given the copy that it names, and it the next.
    named |= {jack.pk for mult in patch_list.mults for jack in mult.copies}
    places = (
        Place(
            sheet,
            wires.get(key),
            *(
                jack if jack and jack.pk not in named else None
                for jack in (sheet.stage.facts.patch_in, sheet.stage.facts.patch_out)
            ),
            key not in feeding,
            leads.get(key, ""),
        )
        for key, sheet in sheets.items()
    )
    return Spine(tuple(places), wires.get(None))


def wires_of(
    connections: Iterable[Connection],
    patch_list: PatchList,
    numbers: Mapping[CordKey, int],
    sheets: Mapping[int, StageSheet],
) -> dict[int | None, Wire]:
    """By the position of the stage that is fed; None is the recorder's input."""
    return {
        made.destination and made.destination.position: Wire(
            tuple(_plugs(made, patch_list, numbers)),
            sheets.get(made.source.position),
            made.destination is None or made.destination.is_printed,
        )
        for made in connections
    }


def _plugs(
    made: Connection, patch_list: PatchList, numbers: Mapping[CordKey, int]
) -> Iterator[Plug]:
    """The link that feeds the destination; before it, what feeds the mult that it comes from."""
    name = f"{made.destination.facts.unit}" if made.destination else made.destination_input
    into = made.in_at and made.in_at.pk
    feeding = [
        link
        for link in patch_list.links
        if link.source.name == f"{made.source.facts.unit}" and link.destination.name == name
    ]
    if not feeding:  # a file from elsewhere may name no cord here
        return
    copy = next((link for link in feeding if into and link.destination.key == into), feeding[0])
    mult = _mult_of(copy.source.jack)
    for link in patch_list.links:
        is_feed = link.source.unit_id == copy.source.unit_id and mult == _mult_of(
            link.destination.jack
        )
        if link is copy or (mult and is_feed):
            yield plug_of(link, patch_list, numbers)


def _mult_of(jack: Jack | None) -> tuple[str, str] | None:
    return (jack.bay, jack.mult) if jack and jack.mult else None
