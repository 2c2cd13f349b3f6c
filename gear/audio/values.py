"""How a setting is typed and how it is written: 2k2, 2.2 kHz, +3 dB, 4:1, half past 1, off.

Every value that is written reads back as the same value: a page that is opened and saved moves no
pointer.
"""

import math
import re
from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache

from gear.audio.clock import read_clock
from gear.audio.dial import DETENTED, Dial, Mark
from gear.audio.numbers import MINUS, plainly, read_number, stepped_up

RATIO = ":1"
LEVEL_UNITS = {"dBu", "dBFS", "dBV"}

_TRAVEL = re.compile(r"(\d+(?:[.,]\d+)?)\s*%")
#: Typed for what has no number; spaces are left out before it is compared.
_INFINITE = re.compile(r"([+-]?)(?:∞|inf|infinity|infinite)(?::1)?")
_OFF = "off"
_FIGURES = re.compile(r"\d+(?:\.\d+)?")


def parse_value(text: str, dial: Dial, unit: str = "") -> float:
    """The value, in the control's unit, that was typed for a control.

    Understood, in this order: what is engraved at a mark (in, out, max), ∞ and off where the control
    has such a mark, a clock position on a knob or travel in per cent on a slider, a number with or
    without the unit. Numbers may carry a prefix: 2k2, 2.2 kHz and 2200 are the same.
    Raises ValueError that says what is wrong, and what this control understands.
    """
    typed = plainly(text)
    try:
        value = _engraved(typed, dial, unit)
        if value is not None:
            return value
        value = _without_a_number(typed, dial)
        if value is not None:
            return value
        angle = _read_position(typed, dial, unit)
        value = read_number(typed, unit) if angle is None else dial.read_at(angle)
    except ValueError as error:
        raise ValueError(f"{error} {expected(dial, unit)}") from None
    if value is None:
        raise ValueError(f"“{text.strip()}” is not understood here. {expected(dial, unit)}")
    return _settled(value, dial, unit)


def format_value(
    value: float, unit: str = "", marks: Sequence[Mark] = (), *, signed: bool = True
) -> str:
    """A value as it is written on a sheet: 2.2 kHz, +3 dB, 4:1.

    marks are those whose word is written in place of the number: the positions of a
    stepped control or a switch. signed puts a plus before decibels above zero. A level in dBu,
    dBFS or dBV has one decimal at least: +4.0 dBu.
    """
    for mark in marks:
        if mark.value == value and mark.label and _number_of(mark.label, unit) is None:
            return mark.label
    number, shown_unit = stepped_up(_decimal(value), unit)
    sign = "+" if signed and unit.startswith("dB") and number > 0 else ""
    figures = _plain(number).replace("-", MINUS)
    if unit in LEVEL_UNITS and "." not in figures:
        figures += ".0"
    return f"{sign}{figures}{'' if unit == RATIO else ' '}{shown_unit}".strip()


def number_text(value: float | Decimal | None, unit: str) -> str:
    """A stored figure with its unit, without zeros to spare; empty where there is none."""
    if value is None:
        return ""
    return format_value(float(value), unit, signed=unit == "dBu").replace(" °", "°")


def setting_text(value: float, dial: Dial, unit: str = "") -> str:
    """A control's value as parse_value reads it back.

    Words for stepped controls and switches, and ∞ wherever it is engraved (the mark's
    number only stands in for it); a word that stands at two marks is not written. Plain dB get a
    plus only where the control also goes below zero, so 3 dB of gain reduction is not written +3 dB.
    What is engraved at another mark is written with a zero more: beside a mark “1” that stands for
    0.98, one is 1.0.
    """
    worded = [
        mark
        for mark in dial.marks
        if mark.value == value
        and (dial.kind in DETENTED or "∞" in mark.label)
        and _says(mark.label, value, dial, unit)
    ]
    signed = unit != "dB" or any(mark.value < 0 for mark in dial.marks)
    text = format_value(value, unit, worded, signed=signed)
    while not _says(text, value, dial, unit):
        text = _FIGURES.sub(lambda it: it[0] + ("0" if "." in it[0] else ".0"), text, count=1)
    return text


def plain_number(value: float) -> str:
    """The shortest figures that read back as the same number: 2200, 0.5, -20."""
    return _plain(_decimal(value))


def expected(dial: Dial, unit: str = "") -> str:
    """A sentence that says what can be typed for this control."""
    if dial.kind in DETENTED:
        return f"Write one of: {', '.join(_position_texts(dial, unit))}."
    if not dial.marks:
        return f"Write the reading, such as {format_value(3, unit, signed=False)}."
    ends = sorted((dial.marks[0].value, dial.marks[-1].value))
    low, high = (setting_text(end, dial, unit) for end in ends)
    sentence = f"Write a value from {low} to {high}"
    if dial.kind == "continuous":
        return f"{sentence}, or a clock position such as 1 o’clock or 13:30."
    if dial.kind == "slider" and unit != "%":
        return f"{sentence}, or the travel such as 60 %."
    return f"{sentence}."


def _position_texts(dial: Dial, unit: str) -> list[str]:
    return [setting_text(mark.value, dial, unit) for mark in dial.marks]


def _engraved(typed: str, dial: Dial, unit: str) -> float | None:
    """The value of the mark at which that is engraved. Where several have it, it must be a number and
    the value of one of them; raises ValueError where it is neither."""
    said = typed.casefold()
    named = [mark.value for mark in dial.marks if mark.label and _folded(mark.label) == said]
    if len(named) < 2:
        return named[0] if named else None
    number = _number_of(typed, unit)
    if number in named:
        return number
    raise ValueError(f"“{typed}” stands at {len(named)} marks: write the value.")


def _says(text: str, value: float, dial: Dial, unit: str) -> bool:
    """Whether no mark has that engraved for another value."""
    try:
        return _engraved(plainly(text), dial, unit) in (None, value)
    except ValueError:
        return False


@lru_cache(maxsize=4096)  # the same few hundred labels on every page
def _folded(label: str) -> str:
    return plainly(label).casefold()


def _without_a_number(typed: str, dial: Dial) -> float | None:
    """∞, -∞, inf and off, where the control has a mark for it; None for anything else.

    Raises ValueError where it has none.
    """
    said = typed.replace(" ", "").casefold().removesuffix("db")
    is_off, infinite = said == _OFF, _INFINITE.fullmatch(said)
    if not is_off and not infinite:
        return None
    is_lowest = is_off or infinite[1] == "-"
    for mark in dial.marks:
        label = _folded(mark.label).replace(" ", "")
        if is_off and label == _OFF:
            return mark.value
        if "∞" in label and is_lowest == ("-∞" in label or mark.value == _lowest(dial)):
            return mark.value
    raise ValueError(f"“{typed}” is no mark of this control.")


def _lowest(dial: Dial) -> float:
    """A fader’s ∞ stands at its lower end, with a minus or without."""
    return min(mark.value for mark in dial.marks)


def _number_of(label: str, unit: str) -> float | None:
    try:
        return read_number(label, unit)
    except ValueError:
        return None


def _read_position(typed: str, dial: Dial, unit: str) -> float | None:
    if dial.kind in ("continuous", "stepped"):
        return read_clock(typed)
    if dial.kind == "slider" and unit != "%" and (match := _TRAVEL.fullmatch(typed)):
        return float(match[1].replace(",", "."))
    return None


def _settled(value: float, dial: Dial, unit: str) -> float:
    if dial.kind in DETENTED:
        mark = dial.nearest_mark(value)
        if math.isclose(mark.value, value, rel_tol=1e-9):
            return mark.value
        raise ValueError(
            f"There is no position for {format_value(value, unit, signed=False)}. "
            f"{expected(dial, unit)}"
        )
    values = [mark.value for mark in dial.marks]
    if values and not min(values) <= value <= max(values):
        raise ValueError(
            f"{format_value(value, unit, signed=False)} is outside this control. "
            f"{expected(dial, unit)}"
        )
    return value


def _decimal(value: float) -> Decimal:
    return Decimal(repr(float(value)))


def _plain(number: Decimal) -> str:
    return f"{number.normalize() + 0:f}"
