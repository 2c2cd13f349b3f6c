"""What is typed in the input list: names of units, channels, lines and settings, cell by cell."""

from collections.abc import Callable, Iterable
from functools import cached_property

from django import forms
from django.core.exceptions import ValidationError

from gear.audio.values import parse_value
from gear.equipment.models import Category, Unit
from gear.equipment.phantom import Line, Place, reached, ruling_at
from gear.patchbay.models import PatchPoint, Side
from sessions.setups.chains.actions import Seen
from sessions.setups.chains.asking import why_not_on
from sessions.setups.chains.availability import UnitChoices, pick_channel
from sessions.setups.chains.fields import PointNames, SeenField
from sessions.setups.chains.phantom import line_of as revisions_line
from sessions.setups.chains.phantom import place_at
from sessions.setups.input_list.lines import (
    COLUMNS,
    SETTINGS,
    Slot,
    Slots,
    line_of,
    slots_of,
)
from sessions.setups.models import Chain, Placement, Revision, Source

LENGTHS = {
    "source": Source._meta.get_field("name").max_length,
    "track": Chain._meta.get_field("track").max_length,
    "input": Chain._meta.get_field("destination_input").max_length,
    "stand": Placement._meta.get_field("stand").max_length,
}
UNITS = {"microphone", "preamplifier"}
#: What can be read only once the units of the line are known.
RESTS_ON_UNITS = {"line", "note", *SETTINGS}
#: A tick in a column for a switch.
TICKS = {"x", "✓", "yes", "y"}
#: What makes a line of the list: without one of them nothing is recorded there.
NEEDED = ("source", "microphone", "track")


class InputLineForm(forms.Form):
    """One line: a chain that there is, or one to make. A line that names neither source, microphone
    nor track is passed over, whatever was filled in beside."""

    seen = SeenField()

    def __init__(
        self, data=None, *, chain: Chain | None, names: PointNames, choices: UnitChoices, **kwargs
    ):
        self.chain, self.names, self.choices = chain, names, choices
        initial = kwargs.pop("initial", {})
        if chain:
            newest = chain.newest_revision()
            initial = line_of(newest, names.short) | {"seen": Seen.of(newest)} | initial
        super().__init__(data, initial=initial, **kwargs)
        if chain is None:
            del self.fields["seen"]
        for column, head in COLUMNS.items():
            self.fields[column] = forms.CharField(
                required=False, max_length=LENGTHS.get(column), label=head, widget=_cell(column)
            )

    @cached_property
    def slots(self) -> Slots:
        """The stages as they are to stand."""
        return slots_of(self.chain.newest_revision()) if self.chain else Slots()

    @property
    def cells(self) -> list[forms.BoundField]:
        return [self[column] for column in COLUMNS]

    @property
    def is_blank(self) -> bool:
        return self.chain is None and not any(self.cleaned_data.get(name) for name in NEEDED)

    @property
    def changed_columns(self) -> set[str]:
        return set(self.changed_data) - {"seen"}

    def clean(self):
        facts = super().clean()
        if self.is_blank:
            return facts
        facts["track"] = facts.get("track") or facts.get("source", "")
        facts["source"] = facts.get("source") or facts["track"]
        if not facts["source"]:
            self.add_error("source", "Enter the source: emptying it does not remove the chain.")
        changed = set(self.changed_data)
        if changed & UNITS:  # what stands beside another unit is read on that one's panel
            changed |= {column for column in RESTS_ON_UNITS if facts.get(column)}
        for column, read in self._readers.items():
            if column in RESTS_ON_UNITS and self.errors.keys() & UNITS:
                continue
            if column in changed and column in facts:
                self._read(column, read)
        return facts

    @property
    def _readers(self) -> dict[str, Callable[[str], None]]:
        """In signal order, so that a setting is read on the panel of the unit named beside it."""
        return {
            "microphone": self._read_microphone,
            "preamplifier": self._read_preamplifier,
            "inserts": self._read_inserts,
            "converter": self._read_converter,
            "line": self._read_line,
            "note": self._read_note,
        } | {column: lambda typed, column=column: self._set(column, typed) for column in SETTINGS}

    def _read(self, column: str, read: Callable[[str], None]) -> None:
        try:
            read(self.cleaned_data[column])
        except (ValidationError, ValueError) as problem:
            self.add_error(
                column, problem if isinstance(problem, ValidationError) else str(problem)
            )

    def _read_microphone(self, typed: str) -> None:
        self._put(self.slots.microphone, typed, at=0, what="a microphone or a DI box")
        if typed and self.slots.microphone is None:
            raise ValueError("This is neither a microphone nor a DI box.")

    def _read_preamplifier(self, typed: str) -> None:
        mic = self.slots.microphone
        behind = self.slots.all.index(mic) + 1 if mic else 0
        while behind < len(self.slots.all) and _is_supply(self.slots.all[behind]):
            behind += 1
        self._put(self.slots.preamplifier, typed, at=behind, what="a preamplifier")
        if typed and self.slots.preamplifier is None:
            raise ValueError("This is neither a preamplifier nor a console channel.")

    def _read_converter(self, typed: str) -> None:
        last = max((n for n, slot in enumerate(self.slots.all, 1) if slot.is_printed), default=0)
        self._put(self.slots.converter, typed, at=last, what="a converter")
        if typed and self.slots.converter is None:
            raise ValueError("This is not a converter.")

    def _read_inserts(self, typed: str) -> None:
        wanted = [self._named(each) for each in typed.replace(";", ",").split(",") if each.strip()]
        standing = {slot.tag: slot for slot in self.slots.inserts}
        behind = self.slots.preamplifier or self.slots.microphone
        for slot in standing.values():
            self.slots.all.remove(slot)
        at = self.slots.all.index(behind) + 1 if behind else 0
        self.slots.all[at:at] = [standing.get(slot.tag, slot) for slot in wanted]

    def _read_line(self, typed: str) -> None:
        mic = self.slots.microphone
        if typed and mic is None:
            raise ValueError("Enter the microphone that is plugged in there.")
        if mic:
            mic.patch_out = self.names.find(typed) if typed else None

    def _read_note(self, typed: str) -> None:
        if self.slots.all:
            self.slots.all[0].note = typed

    def _set(self, column: str, typed: str) -> None:
        found = self.slots.control(column)
        if found is None:
            if typed:
                raise ValueError(f"No {COLUMNS[column].lower()} is on the panels of this line.")
            return
        slot, control = found
        dial = control.dial()
        if not typed:
            slot.settings.pop(control.key, None)
        elif typed.casefold() in TICKS and len(dial.marks) == 2:
            slot.settings[control.key] = max(mark.value for mark in dial.marks)
        else:
            slot.settings[control.key] = parse_value(typed, dial, control.unit)

    def _put(self, standing: Slot | None, typed: str, *, at: int, what: str) -> None:
        """The unit that was typed, in the place of the one that stands there."""
        if not typed:
            if standing:
                self.slots.all.remove(standing)
            return
        named = self._named(typed)
        if standing is None:
            self.slots.all.insert(at, named)
            return
        if named.unit == standing.unit:
            standing.channel = named.channel
        else:
            named.path, named.note, named.position = standing.path, standing.note, standing.position
            self.slots.all[self.slots.all.index(standing)] = named
            standing = named
        standing.patch_in, standing.patch_out = named.patch_in, named.patch_out

    def _named(self, typed: str) -> Slot:
        """The unit of that tag or name, with the jacks that it, or its channel, is wired to."""
        unit, channel = pick_channel(self.choices, typed)
        panel = unit.model.current_panel()
        return Slot(
            unit,
            channel,
            panel,
            list(panel.controls.all()) if panel else [],
            patch_in=self._jack(unit, Side.RETURN, channel),
            patch_out=self._jack(unit, Side.SEND, channel),
        )

    def _jack(self, unit: Unit, side: Side, channel: int | None) -> PatchPoint | None:
        return self.names.only_wired(unit, side, channel)

    def ask_about_phantom(
        self, lines: list["InputLineForm"], elsewhere: Iterable[Revision]
    ) -> None:
        """That 48 V is on where it harms a unit of this or another line, or of a chain that is up
        `elsewhere`, is saved when it is said twice: whether the switch is new, or what it serves."""
        found = self.slots.control("phantom")
        if not found:
            return
        slot, control = found
        place = _place(slot)
        typed = [line.fed for line in lines]
        beside = [*typed, *map(revisions_line, elsewhere)]
        served = reached(place.banks, beside) if place.switches else []
        if not any(
            line.changed_columns & {"phantom", "inserts", *UNITS}
            for line, fed in zip(lines, typed, strict=True)
            if line is self or any(fed is each for each in served)
        ):
            return
        value = slot.settings.get(control.key)
        if problem := why_not_on(control, value, lambda: ruling_at(place, beside)):
            self.add_error("phantom", problem)

    @property
    def fed(self) -> Line:
        """As 48 V sees it."""
        return Line(tuple(map(_place, self.slots.all)))


def _place(slot: Slot) -> Place:
    return place_at(slot.unit, slot.channel, slot.controls)


def _is_supply(slot: Slot) -> bool:
    return slot.unit.model.category == Category.SUPPLY


def _cell(column: str) -> forms.TextInput:
    attrs = {"autocomplete": "off", "spellcheck": "false", "data-column": column}
    if column in ("microphone", "preamplifier", "inserts", "converter"):
        attrs["list"] = "units"
    if column == "line":
        attrs["list"] = "points"
    return forms.TextInput(attrs=attrs)
