"""A stage's controls by what they mean, for the arithmetic that reads panels it has never seen."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gear.panels.models import Control, Meaning
from sessions.setups.models import Stage

#: The sections of a panel that have a switch of their own, and the words that name them.
SECTIONS = {
    "filters": ("filter", "pass", "cut"),
    "equaliser": ("equal", "eq", "band"),
    "compressor": ("compress", "dynamic", "circuit", "limit"),
}
_OUT = ("out", "off", "bypass", "bypassed")


@dataclass(frozen=True)
class StageControls:
    """The controls of a panel in signal order, and how they were set: {key: value}."""

    all: Sequence[Control]
    settings: Mapping[str, float]

    @classmethod
    def at(cls, stage: Stage) -> "StageControls":
        """Of a stage loaded `for_list` it costs no query."""
        return cls(stage.controls(), stage.settings)

    def of(self, *meanings: str, band: int | None = None) -> list[Control]:
        """Those of a meaning, in signal order; of one band, or of all."""
        return [
            control
            for control in self.all
            if control.meaning in meanings and band in (None, control.band)
        ]

    def setting(self, control: Control) -> float | None:
        return self.settings.get(control.key)

    def word(self, control: Control) -> str:
        """What is engraved where the control stands, empty between marks."""
        return word_at(control, self.setting(control))

    def engaged(self, section: str, group: str) -> bool | None:
        """Whether a section is in; None where its switch was not logged. Without one it is in."""
        states = [self._is_in(switch) for switch in self.switches(section, group)]
        return None if None in states else all(states)

    def switches(self, section: str, group: str) -> list[Control]:
        """A switch belongs to the section that its label names, else to all of its group."""
        switches = [switch for switch in self.of(Meaning.BYPASS) if switch.group == group]
        own = [switch for switch in switches if section in _sections_named(switch)]
        return own or [switch for switch in switches if not _sections_named(switch)]

    def _is_in(self, switch: Control) -> bool | None:
        value = self.setting(switch)
        return None if value is None else is_in_at(switch, value)


def word_at(control: Control, value: float | None) -> str:
    return next((m.get("label", "") for m in control.marks if m["value"] == value), "")


def is_in_at(switch: Control, value: float) -> bool:
    """Whether what it switches is in where it stands there."""
    word = word_at(switch, value).casefold()
    is_on = word not in _OUT if word else value != 0
    says_bypass = "bypass" in switch.label.casefold() and word in ("on", "off", "")
    return not is_on if says_bypass else is_on


def _sections_named(switch: Control) -> list[str]:
    label = switch.label.casefold().replace("bypass", "")
    return [name for name, words in SECTIONS.items() if any(word in label for word in words)]
