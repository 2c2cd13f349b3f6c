"""The house's bays with nothing plugged, and cords plugged into them as a paper says: what then reaches
which input, through which cords and normals. Jacks are named as the bay has them, Bay 1 A3.

A plug in the lower jack of a normal breaks it; one in the upper jack breaks a full normal and taps a half
one. The jacks of a mult are joined. (Common practice, no source.)
"""

from dataclasses import dataclass, field

from gear.patchbay.models import Normal, PatchPoint


@dataclass(frozen=True)
class Way:
    """From which jack an input is fed; the numbers of the cords on the way, and the normal, if it is one."""

    start: str
    cords: tuple[str, ...] = ()
    normal: tuple[str, str] | None = None


@dataclass
class Bench:
    """normals: kind by upper and lower jack. By jack, mults: its mult, and units: the key of the unit
    whose output comes up there."""

    normals: dict[tuple[str, str], str]
    mults: dict[str, tuple]
    units: dict[str, int]
    cords: dict[str, tuple[str, str]] = field(default_factory=dict)

    @classmethod
    def of_house(cls) -> "Bench":
        points = PatchPoint.objects.select_related("bay")
        normals = Normal.objects.select_related("source__bay", "destination__bay")
        return cls(
            {(each.source.name, each.destination.name): each.kind for each in normals},
            {point.name: (point.bay_id, point.mult) for point in points if point.mult},
            {point.name: point.unit_id for point in points if point.unit_id},
        )

    @property
    def plugged(self) -> set[str]:
        return {jack for cord in self.cords.values() for jack in cord}

    @property
    def broken(self) -> set[tuple[str, str]]:
        return {
            (upper, lower)
            for (upper, lower), kind in self.normals.items()
            if lower in self.plugged or (kind == "full" and upper in self.plugged)
        }

    @property
    def tapped(self) -> set[tuple[str, str]]:
        return {
            normal
            for normal in self.normals
            if normal not in self.broken and normal[0] in self.plugged
        }

    def into(self, jack: str) -> Way | None:
        """What reaches this input; None where nothing does."""
        for number, (start, end) in self.cords.items():
            if end == jack:
                return self._through_mult(start, (number,))
        for normal in self.normals:
            if normal[1] == jack and normal not in self.broken:
                return Way(normal[0], normal=normal)
        return None

    def _through_mult(self, start: str, cords: tuple[str, ...]) -> Way:
        mult = self.mults.get(start)
        for number, (feed, end) in self.cords.items():
            if mult and self.mults.get(end) == mult:
                return Way(feed, (number, *cords))
        return Way(start, cords)
