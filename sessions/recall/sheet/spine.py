"""A chain along its signal path: each unit with what joins it to the one before, read in one place."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gear.patchbay.patch_list import PatchList
from gear.patchbay.wiring import Jack
from sessions.recall.sheet.levels import in_columns
from sessions.recall.sheet.stages import StageSheet
from sessions.setups.levels.plan import StagePlan
from sessions.setups.models import Path
from sessions.setups.patching.connections import Connection
from sessions.setups.patching.plugs import CordKey, Plug, plug_of


@dataclass(frozen=True)
class Wire:
    """What carries the signal out of a stage: two plugs where a mult is between."""

    plugs: tuple[Plug, ...]
    feeder: StagePlan
    is_printed: bool

    @property
    def jacks(self) -> set[int]:
        return {jack.pk for plug in self.plugs for jack in plug.link.jacks}

    @property
    def levels(self) -> str:
        return in_columns(self.feeder)


@dataclass(frozen=True)
class Place:
    """A unit on the path, the wire that feeds it, and the jacks that no wire names.

    is_last: it feeds nothing, so that no wire says how strong the signal leaves it.
    """

    sheet: StageSheet
    wire: Wire | None
    patched_in: Jack | None
    patched_out: Jack | None
    is_last: bool


@dataclass(frozen=True)
class Spine:
    """From source to track. `out` leads on to the recorder's input, where one is named."""

    places: tuple[Place, ...]
    out: Wire | None


def spine(
    stages: Iterable[StageSheet],
    connections: Iterable[Connection],
    patch_list: PatchList,
    numbers: dict[CordKey, int],
) -> Spine:
    """Of a chain patched as the list says."""
    sheets = {sheet.stage.pk: sheet for sheet in stages}
    wires: dict[int | None, Wire] = {}
    for made in connections:
        fed = made.destination
        is_printed = fed is None or fed.path == Path.PRINTED
        plugs = tuple(_plugs(made, patch_list, numbers))
        wires[fed and fed.pk] = Wire(plugs, sheets[made.source.pk].plan, is_printed)
    feeding = {wire.feeder.stage.pk for wire in wires.values()}
    named = set().union(*(wire.jacks for wire in wires.values()))
    places = (
        Place(
            sheet,
            wires.get(key),
            *(
                jack if jack and jack.pk not in named else None
                for jack in (sheet.stage.facts.patch_in, sheet.stage.facts.patch_out)
            ),
            key not in feeding,
        )
        for key, sheet in sheets.items()
    )
    return Spine(tuple(places), wires.get(None))


def _plugs(made: Connection, patch_list: PatchList, numbers: dict[CordKey, int]) -> Iterator[Plug]:
    """The link that feeds the destination; before it, what feeds the mult that it comes from."""
    name = f"{made.destination.facts.unit}" if made.destination else made.destination_input
    into = made.in_at and made.in_at.pk
    feeding = [
        link
        for link in patch_list.links
        if link.source.unit_id == made.source.unit_id and link.destination.name == name
    ]
    copy = next((link for link in feeding if into and link.destination.key == into), feeding[0])
    mult = copy.source.jack and copy.source.jack.mult
    for link in patch_list.links:
        entry = link.destination.jack
        if link is copy or (
            mult and entry and (entry.bay, entry.mult) == (copy.source.jack.bay, mult)
        ):
            yield plug_of(link, patch_list, numbers)
