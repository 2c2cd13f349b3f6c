"""Which control of one panel takes over a setting from another, and what can't be matched."""

from collections.abc import Sequence
from dataclasses import dataclass

from gear.audio.dial import DETENTED, Mark
from gear.audio.values import format_value, read_number, setting_text
from gear.panels.models import Control, Meaning


@dataclass(frozen=True)
class Match:
    """A logged setting, and the control that takes it. value is on that control's own scale, None
    where it has no place on it; problem then says why."""

    wanted: Control
    logged: float
    target: Control | None
    value: float | None
    problem: str = ""

    @property
    def logged_text(self) -> str:
        return setting_text(self.logged, self.wanted.dial(), self.wanted.unit)


def match_settings(
    logged: Sequence[tuple[Control, float]], panel: Sequence[Control]
) -> list[Match]:
    """Each logged setting with its control on the panel; a control takes one setting at most."""
    free = list(panel)
    matches = []
    for control, value in logged:
        target = _counterpart(control, free)
        if target is None:
            matches.append(Match(control, value, None, None, _missing(control, value)))
            continue
        free.remove(target)
        own = _on_scale_of(control, value, target)
        problem = "" if own is not None else _out_of_reach(control, value, target)
        matches.append(Match(control, value, target, own, problem))
    return matches


def _counterpart(control: Control, panel: list[Control]) -> Control | None:
    """The same key with the same meaning; else the same meaning, on the same band."""
    for other in panel:
        if (other.key, other.meaning) == (control.key, control.meaning):
            return other
    if control.meaning == Meaning.OTHER:
        return None
    for other in panel:
        if (other.meaning, other.band) == (control.meaning, control.band):
            return other
    return None


def _on_scale_of(control: Control, value: float, target: Control) -> float | None:
    """The value on the target's scale: by the word of a switch, else by the number."""
    if target.unit != control.unit:
        return None
    mark = _mark_at(control, value)
    if mark and mark.label and read_number(mark.label, control.unit) is None:
        return _value_of_word(mark.label, target)
    dial = target.dial()
    if not dial.marks:
        return value
    try:
        dial.angle_of(value)
    except ValueError:
        return None
    return value


def _mark_at(control: Control, value: float) -> Mark | None:
    if control.kind not in DETENTED:
        return None
    return next((mark for mark in control.dial().marks if mark.value == value), None)


def _value_of_word(word: str, target: Control) -> float | None:
    for mark in target.dial().marks:
        if mark.label.casefold() == word.casefold():
            return mark.value
    return None


def _missing(control: Control, value: float) -> str:
    return f"{_setting_in_words(control, value)}: it has no such control."


def _out_of_reach(control: Control, value: float, target: Control) -> str:
    said, name = _setting_in_words(control, value), f"its “{target.label}”"
    if target.unit != control.unit:
        marked = f"in {target.unit}" if target.unit else "without a unit"
        return f"{said}: {name} is marked {marked}."
    has = "has only" if target.kind in DETENTED else "goes from"
    return f"{said}: {name} {has} {target.range_text()}{_how_far(value, target)}."


def _how_far(value: float, target: Control) -> str:
    """By how much the nearest value that it has differs; nothing between words or where it has none."""
    marks = [mark for mark in target.dial().marks if target.unit]
    if not marks:
        return ""
    nearest = min((mark.value for mark in marks), key=lambda each: abs(each - value))
    short = format_value(abs(value - nearest), target.unit, signed=False)
    return f": nearest is {setting_text(nearest, target.dial(), target.unit)}, {short} off"


def _setting_in_words(control: Control, value: float) -> str:
    return f"{control.label} {setting_text(value, control.dial(), control.unit)}"
