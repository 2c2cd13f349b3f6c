"""Two bays: wall lines above inputs of preamplifiers, and what is at line level, with normals of both
kinds, places without one, and a mult."""

from gear.patchbay.models import Normal, PatchPoint, Side, TieLine
from tests.factories import BayFactory, PatchPointFactory

FLOOR, CISTERN = ("Rope Floor", "North wall"), ("Cistern Chamber", "Box behind the ladder")


class Bays:
    """Jacks by their place: A1."""

    def __init__(self):
        self.jacks: dict[str, PatchPoint] = {}
        lines = self._row("Bay 1", "A", "microphone", "send", "Wall {}", 12)
        for number, jack in enumerate(lines, 1):
            room, box = FLOOR if number <= 8 else CISTERN
            TieLine.objects.create(room=room, box=box, line=number, point=jack)
        self._row("Bay 1", "B", "microphone", "return", "Pre {} in", 13)
        self._row("Bay 1", "A", "microphone", "send", "Split {} out", 2, first=13)
        under = "Line bay under the stairs"
        self._row(under, "C", "line", "send", "Pre {} out", 12)
        self._row(under, "D", "line", "return", "Record {}", 12)
        self._row(under, "C", "line", "send", "Rack {} out", 8, first=13)
        self._row(under, "D", "line", "return", "Rack {} in", 8, first=13)
        self._row(under, "E", "line", "return", "Mult", 1, mult="M1")
        self._row(under, "E", "line", "send", "Mult", 3, first=2, mult="M1")
        for number in range(1, 9):
            self._normal(f"A{number}", f"B{number}", "full")
            self._normal(f"C{number}", f"D{number}", "half" if number % 2 else "full")
        self._normal("A9", "B9", "half")
        self._normal("C14", "D15", "half")

    def __getitem__(self, place: str | None) -> PatchPoint | None:
        return self.jacks[place] if place else None

    def wire(self, place: str, unit, channel: int | None = None) -> None:
        jack = self.jacks[place]
        jack.unit, jack.channel = unit, channel
        jack.save()

    def _row(self, bay, row, level, side, label, count, *, first=1, mult="") -> list[PatchPoint]:
        bay = next((jack.bay for jack in self.jacks.values() if jack.bay.name == bay), None) or (
            BayFactory(name=bay)
        )
        made = [
            PatchPointFactory(
                bay=bay,
                row=row,
                column=first + place,
                label=label.format(place + 1),
                level=level,
                side=Side(side),
                mult=mult,
            )
            for place in range(count)
        ]
        self.jacks |= {jack.place: jack for jack in made}
        return made

    def _normal(self, upper: str, lower: str, kind: str) -> None:
        Normal.objects.create(source=self.jacks[upper], destination=self.jacks[lower], kind=kind)
