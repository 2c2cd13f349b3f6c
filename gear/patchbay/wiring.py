"""How the house is wired at its bays, as plain values: jacks, normals, mults, tie lines.

Read once (`load_wiring`), stored with what was recorded through it (`Wiring.to_json`), and reasoned about
without a database (`patching.py`).
"""

from collections.abc import Container, Iterable
from dataclasses import asdict, dataclass
from functools import cached_property
from typing import Self

from gear.patchbay.models import NormalKind, PatchPoint


@dataclass(frozen=True)
class Jack:
    """One patch point. `mult` is empty, or names the jacks of its bay that are joined with it;
    `tie_line` is empty, or says which line of which wall box comes up here."""

    pk: int
    bay: str
    row: str
    column: int
    label: str
    level: str
    side: str
    unit_id: int | None = None
    socket: str = ""
    mult: str = ""
    tie_line: str = ""
    channel: int | None = None

    def __str__(self) -> str:
        return f"{self.name} {self.label}"

    @property
    def place(self) -> str:
        return f"{self.row}{self.column}"

    @property
    def name(self) -> str:
        return f"{self.bay} {self.place}"


@dataclass(frozen=True)
class NormalLink:
    """A normal between two jacks, by their keys; kind is a NormalKind."""

    source: int
    destination: int
    kind: str

    def holds(self, plugged: Container[int]) -> bool:
        """Whether the input hears the source. A plug in the lower jack breaks the link; one in a
        half-normalled upper jack only taps the source."""
        is_tapped = self.source in plugged
        return self.destination not in plugged and not (is_tapped and self.kind == NormalKind.FULL)


@dataclass(frozen=True)
class Wiring:
    jacks: tuple[Jack, ...] = ()
    normals: tuple[NormalLink, ...] = ()

    @cached_property
    def by_key(self) -> dict[int, Jack]:
        return {jack.pk: jack for jack in self.jacks}

    @cached_property
    def normal_into(self) -> dict[int, NormalLink]:
        return {normal.destination: normal for normal in self.normals}

    @cached_property
    def _of_units(self) -> dict[tuple[int, str], tuple[Jack, ...]]:
        found: dict[tuple[int, str], tuple[Jack, ...]] = {}
        for jack in self.jacks:
            if jack.unit_id:
                end = jack.unit_id, jack.side
                found[end] = (*found.get(end, ()), jack)
        return found

    def of_unit(
        self, unit_id: int | None, side: str, channel: int | None = None
    ) -> tuple[Jack, ...]:
        """The jacks that a unit's outputs (side "send") or inputs ("return") are wired to; of a
        channel those that are its own, if there are any."""
        jacks = self._of_units.get((unit_id, side), ())
        own = tuple(jack for jack in jacks if channel and jack.channel == channel)
        return own or tuple(jack for jack in jacks if not (channel and jack.channel))

    def is_normalled(self, source: Jack, destination: Jack) -> bool:
        normal = self.normal_into.get(destination.pk)
        return normal is not None and normal.source == source.pk

    @cached_property
    def mults(self) -> dict[tuple[str, str], tuple[Jack, ...]]:
        """Bay and name of each mult to its jacks, the one to feed first."""
        found: dict[tuple[str, str], list[Jack]] = {}
        for jack in self.jacks:
            if jack.mult:
                found.setdefault((jack.bay, jack.mult), []).append(jack)
        return {
            mult: tuple(sorted(jacks, key=lambda jack: jack.side != "return"))
            for mult, jacks in found.items()
        }

    def about(self, keys: Iterable[int], unit_ids: Iterable[int]) -> Self:
        """The part of it that bears on these jacks and units: with mults and partners of normals."""
        keys, unit_ids = set(keys), set(unit_ids)
        mults = {(jack.bay, jack.mult) for jack in self.jacks if jack.pk in keys and jack.mult}
        for jack in self.jacks:
            if jack.unit_id in unit_ids or (jack.bay, jack.mult) in mults:
                keys.add(jack.pk)
        normals = tuple(n for n in self.normals if n.source in keys or n.destination in keys)
        keys |= {key for normal in normals for key in (normal.source, normal.destination)}
        return type(self)(tuple(jack for jack in self.jacks if jack.pk in keys), normals)

    def to_json(self) -> dict:
        return {
            "jacks": [asdict(jack) for jack in self.jacks],
            "normals": [asdict(normal) for normal in self.normals],
        }

    def as_it_was(self, stored: Iterable[dict]) -> Self:
        """How it was then, by what was stored; where one of them is empty, this wiring fills in."""
        stored = list(stored)
        then = [self.from_json(data) for data in stored if data]
        known = {jack.pk: jack for wiring in then for jack in wiring.jacks}
        then_normals = {normal: None for wiring in then for normal in wiring.normals}
        today = self if not all(stored) else type(self)()
        normals = [
            normal
            for normal in today.normals
            if normal.source not in known and normal.destination not in known
        ]
        jacks = today.by_key | known
        return type(self)(tuple(jacks.values()), (*normals, *then_normals))

    @classmethod
    def from_json(cls, data: dict) -> Self:
        return cls(
            tuple(Jack(**jack) for jack in data["jacks"]),
            tuple(NormalLink(**normal) for normal in data["normals"]),
        )


def load_wiring() -> Wiring:
    """The house as it is wired now. One query."""
    points = list(PatchPoint.objects.with_links().order_by("bay__name", "row", "column", "pk"))
    normals = [point.normal_to for point in points if hasattr(point, "normal_to")]
    return Wiring(
        tuple(map(_jack, points)),
        tuple(NormalLink(each.source_id, each.destination_id, each.kind) for each in normals),
    )


def _jack(point: PatchPoint) -> Jack:
    tie_line = getattr(point, "tie_line", None)
    return Jack(
        point.pk,
        point.bay.name,
        point.row,
        point.column,
        point.label,
        point.level,
        point.side,
        point.unit_id,
        point.socket,
        point.mult,
        f"{tie_line}" if tie_line else "",
        point.channel,
    )
