"""The one rule of phantom power: what 48 V is to all that one input, or one switch, serves.

Every checklist, sheet, copy, import and substitute asks it. That 48 V is on may be logged after asking
(`why_not_on`), since it may be so anyway; advice never goes against the record (`to_advise`).
P48 by IEC 61938; whom it harms is asked of today's record.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from gear.equipment.models import Category, Phantom, Unit

#: What a line hears with: where nothing of it asks for 48 V, that is said of these only.
HEARS = (Category.MICROPHONE, Category.DI_BOX)
#: What stands between a microphone and the switch that gives it 48 V.
PASSES_ON = (Category.SUPPLY, Category.SPLITTER)
NEEDED = "48 V on"
NEVER = "never 48 V"
NOT_NEEDED = "48 V not needed"
ONE_OF_TWO = "no 48 V: one needs it, the other is damaged"


@dataclass(frozen=True)
class Ruling:
    """On the units that 48 V from one switch reaches: whom it harms, and who needs it."""

    harmed: tuple[Unit, ...]
    needed_by: tuple[Unit, ...]
    hears: bool = True

    @property
    def to_advise(self) -> bool | None:
        """How a page, paper or button asks for the switch to stand, whatever was logged; None: as it
        was logged."""
        if self.harmed:
            return False
        return True if self.needed_by else None

    @property
    def words(self) -> str:
        """In short; empty where nothing there asks."""
        if self.harmed:
            return ONE_OF_TWO if self.needed_by else NEVER
        if self.needed_by:
            return NEEDED
        return NOT_NEEDED if self.hears else ""

    @property
    def why_not(self) -> str:
        """Empty where 48 V may be on."""
        return f"48 V from here can damage {_names(self.harmed)}" if self.harmed else ""

    @property
    def why_needed(self) -> str:
        """Empty where nothing there needs it."""
        if not self.needed_by:
            return ""
        needs = "needs" if len(self.needed_by) == 1 else "need"
        return f"{_names(self.needed_by)} {needs} 48 V"

    @property
    def why_not_on(self) -> str:
        """What is asked before it is logged that 48 V is on; empty where nothing is asked."""
        if not self.harmed:
            return ""
        return (
            f"{self.why_not}: leave it off, or switch it off and let it die away before that is "
            "plugged in. If it is on anyway, save once more."
        )

    @property
    def why_on(self) -> str:
        """Why it is to be switched on, and how; empty where it is not."""
        if self.to_advise is not True:
            return ""
        return (
            f"{self.why_needed}: plug the cable in first, turn headphones and "
            "monitors down, then switch it on."
        )


def phantom_ruling(units: Iterable[Unit]) -> Ruling:
    """On all units of the input or inputs that one switch serves."""
    units = list(dict.fromkeys(units))
    return Ruling(
        tuple(unit for unit in units if unit.model.phantom_need == Phantom.HARMFUL),
        tuple(unit for unit in units if unit.model.phantom_need == Phantom.NEEDED),
        any(unit.model.category in HEARS for unit in units),
    )


@dataclass(frozen=True)
class Place:
    """A unit as it stands in a line; `switches`: its panel has a switch of phantom power; `isolates`: a
    splitter whose output, as logged, lets none through."""

    unit: Unit
    channel: int | None = None
    switches: bool = False
    isolates: bool = False

    @property
    def banks(self) -> set[tuple[int, int]]:
        """The phantom switches of its unit that may serve the channel: of an unknown one, all."""
        model = self.unit.model
        return {(self.unit.pk, bank) for bank in model.phantom_banks(self.channel)}


@dataclass(frozen=True)
class Line:
    """A chain as 48 V sees it."""

    places: tuple[Place, ...]

    @property
    def units(self) -> list[Unit]:
        return [place.unit for place in self.places]

    @property
    def switches(self) -> set[tuple[int, int]]:
        """The phantom switches that stand in it."""
        return {bank for place in self.places if place.switches for bank in place.banks}

    @property
    def splitter(self) -> Unit | None:
        """Where its microphone's signal is taken from, as other lines take it too."""
        return next((u for u in self.units if u.model.category == Category.SPLITTER), None)

    def switch_behind(self, place: Place) -> Place | None:
        """The switch that feeds the place: on a supply, or on the input that it goes into."""
        for behind in self.places[self.places.index(place) + 1 :]:
            if behind.switches:
                return behind
            if behind.isolates or behind.unit.model.category not in PASSES_ON:
                return None
        return None

    def other_supply(self, place: Place) -> Unit | None:
        """A supply behind the place that has no switch of phantom power: it feeds what needs 48 V
        from elsewhere than the input."""
        for behind in self.places[self.places.index(place) + 1 :]:
            if behind.unit.model.category == Category.SUPPLY and not behind.switches:
                return behind.unit
            if behind.unit.model.category not in PASSES_ON:
                return None
        return None

    def fed_at(self, switch: Place) -> list[Unit]:
        """What needs 48 V and gets it from this switch alone."""
        return [
            place.unit
            for place in self.places
            if place.unit.model.phantom_need == Phantom.NEEDED
            and self.switch_behind(place) == switch
            and not self.other_supply(place)
        ]

    def hangs_on(self, lines: Iterable["Line"]) -> set[tuple[int, int]]:
        """The phantom switches whose 48 V may reach it: those at its inputs, whatever its own panels
        say, and those of lines of the same splitter, since nobody relies upon an output to hold 48 V
        back."""
        banks = {bank for place in self.places for bank in place.banks}
        if ours := self.splitter:
            banks = banks.union(*(line.switches for line in lines if line.splitter == ours))
        return banks


def reached(switches: set[tuple[int, int]], lines: Iterable[Line]) -> list[Line]:
    """The lines, of all that are plugged at once, that 48 V from any of the switches reaches."""
    lines = list(lines)
    return [line for line in lines if switches & line.hangs_on(lines)]


def ruling_at(place: Place, lines: Iterable[Line]) -> Ruling:
    """On 48 V from the switch of this place of a line: it harms whatever it may reach, and is needed
    by what hangs on it for certain."""
    lines = list(lines)
    found = reached(place.banks, lines) if place.switches else []
    fed = [
        unit
        for line in found
        for other in line.places
        if other.switches and other.banks == place.banks
        for unit in line.fed_at(other)
    ]
    ruling = phantom_ruling(unit for line in found for unit in line.units)
    return replace(ruling, needed_by=tuple(dict.fromkeys(fed)))


def _names(units: Iterable[Unit]) -> str:
    return " and ".join(map(str, units))
