"""A chain as a line of the input list, read from its stages: one truth, told in a row."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from gear.audio.values import setting_text
from gear.equipment.models import Category, Unit
from gear.equipment.phantom import HEARS
from gear.panels.models import Control, Meaning, Panel
from gear.patchbay.models import PatchPoint
from sessions.setups.models import Path, Revision, Stage

#: What the columns say, in order; lists are read and written under these heads.
COLUMNS = {
    "input": "Input",
    "source": "Source",
    "microphone": "Microphone or DI box",
    "stand": "Stand",
    "line": "Line",
    "preamplifier": "Preamplifier",
    "gain": "Gain",
    "pad": "Pad",
    "phantom": "48 V",
    "polarity": "Polarity",
    "low_cut": "Low cut",
    "inserts": "Insert",
    "converter": "Converter",
    "track": "Track",
    "note": "Note",
}
#: The columns that set a control, by what it is to the arithmetic: of the preamplifier, or of the
#: microphone where that has it instead.
SETTINGS = {
    "gain": Meaning.GAIN,
    "pad": Meaning.PAD,
    "phantom": Meaning.PHANTOM,
    "polarity": Meaning.POLARITY,
    "low_cut": Meaning.FILTER_FREQUENCY,
}
AMPLIFIES = (Category.PREAMPLIFIER, Category.CHANNEL)


@dataclass
class Slot:
    """A stage as it is to stand; `position` is where it stands now, None for a new one."""

    unit: Unit
    channel: int | None = None
    panel: Panel | None = None
    controls: list[Control] = field(default_factory=list)
    settings: dict[str, float] = field(default_factory=dict)
    patch_in: PatchPoint | None = None
    patch_out: PatchPoint | None = None
    path: str = Path.PRINTED
    note: str = ""
    position: int | None = None

    @classmethod
    def of(cls, stage: Stage) -> "Slot":
        return cls(
            stage.unit,
            stage.channel,
            stage.panel,
            stage.controls(),
            dict(stage.settings),
            stage.patch_in,
            stage.patch_out,
            stage.path,
            stage.note,
            stage.position,
        )

    @property
    def is_printed(self) -> bool:
        return self.path == Path.PRINTED

    @property
    def tag(self) -> str:
        """As it is typed: M-01, P-01/3."""
        return f"{self.unit.asset_tag}/{self.channel}" if self.channel else self.unit.asset_tag


@dataclass
class Slots:
    """The stages of a chain in signal order, and which of them the columns mean."""

    all: list[Slot] = field(default_factory=list)

    @property
    def microphone(self) -> Slot | None:
        return self._first(HEARS)

    @property
    def preamplifier(self) -> Slot | None:
        return self._first(AMPLIFIES)

    @property
    def converter(self) -> Slot | None:
        return self._first((Category.CONVERTER,))

    @property
    def inserts(self) -> list[Slot]:
        named = (self.microphone, self.preamplifier, self.converter)
        return [
            slot
            for slot in self.all
            if slot.is_printed
            and not any(slot is each for each in named)
            and slot.unit.model.category != Category.SUPPLY
        ]

    def control(self, column: str) -> tuple[Slot, Control] | None:
        for slot in (self.preamplifier, self.microphone):
            for control in slot.controls if slot else ():
                if control.meaning == SETTINGS[column]:
                    return slot, control
        return None

    def _first(self, categories: Iterable[str]) -> Slot | None:
        return next(
            (
                each
                for each in self.all
                if each.unit.model.category in categories and each.is_printed
            ),
            None,
        )


def slots_of(revision: Revision) -> Slots:
    return Slots([Slot.of(stage) for stage in revision.stages.all()])


def line_of(revision: Revision, place: Callable[[PatchPoint], str]) -> dict[str, str]:
    """What the columns say of a chain's revision loaded `with_stages`; `place` names its line."""
    chain, slots = revision.chain, slots_of(revision)
    mic, pre, converter = slots.microphone, slots.preamplifier, slots.converter
    placement = getattr(revision, "placement", None)
    return {
        "input": chain.destination_input,
        "source": chain.source.name,
        "microphone": mic.tag if mic else "",
        "stand": placement.stand if placement else "",
        "line": place(mic.patch_out) if mic and mic.patch_out else "",
        "preamplifier": pre.tag if pre else "",
        **{column: setting_in(slots, column) for column in SETTINGS},
        "inserts": ", ".join(slot.tag for slot in slots.inserts),
        "converter": converter.tag if converter else "",
        "track": chain.track,
        "note": slots.all[0].note if slots.all else "",
    }


def setting_in(slots: Slots, column: str) -> str:
    found = slots.control(column)
    if not found or (value := found[0].settings.get(found[1].key)) is None:
        return ""
    return setting_text(value, found[1].dial(), found[1].unit)
