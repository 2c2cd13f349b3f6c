"""How a setting is typed and how it is written: 2k2, 2.2 kHz, +3 dB, 4:1, half past 1.

Numbers go through Decimal, so that 2.2 kHz is 2200 Hz to the last digit and every
value that format_value writes reads back as the same value.
"""

import math
import re
from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache

from gear.audio.clock import read_clock
from gear.audio.dial import DETENTED, Dial, Mark

RATIO = ":1"
#: Units that take a prefix (µ, m, k, M); decibels, ratios and per cent do not.
SCALABLE = ("Hz", "s", "Ω", "V", "W", "A", "m")
_PREFIXES = {"": 0, "µ": -6, "u": -6, "m": -3, "k": 3, "K": 3, "M": 6}
_PREFIXES_WITHOUT_UNIT = {"k": 3, "K": 3, "M": 6}
_LADDER = ("µ", "m", "", "k", "M")
#: As it is set in type: as wide as the plus. Typed, either is understood.
MINUS = "−"
_LETTERS = str.maketrans({MINUS: "-", "–": "-", "μ": "µ", "\u00a0": " ", "\u2009": " "})

LEVEL_UNITS = {"dBu", "dBFS", "dBV"}

_NUMBER = re.compile(r"([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*(.*)")
_INFIX = re.compile(r"([+-]?\d+)([kKM])(\d+)\s*(.*)")
_TRAVEL = re.compile(r"(\d+(?:\.\d+)?)\s*%")


def parse_value(text: str, dial: Dial, unit: str = "") -> float:
    """The value, in the control's unit, that was typed for a control.

    Understood, in this order: what is engraved at a mark (in, out, max), a clock
    position on a knob or travel in per cent on a slider, a number with or without
    the unit. Numbers may carry a prefix: 2k2, 2.2 kHz and 2200 are the same.
    Raises ValueError that says what this control understands.
    """
    typed = " ".join(text.translate(_LETTERS).split())
    for mark in dial.marks:
        if mark.label and mark.label.translate(_LETTERS).casefold() == typed.casefold():
            return mark.value
    try:
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
        if mark.value == value and mark.label and read_number(mark.label, unit) is None:
            return mark.label
    number, shown_unit = _stepped_up(_decimal(value), unit)
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
    number only stands in for it). Plain dB get a plus only where the control also goes
    below zero, so 3 dB of gain reduction is not written +3 dB.
    """
    worded = [mark for mark in dial.marks if dial.kind in DETENTED or "∞" in mark.label]
    signed = unit != "dB" or any(mark.value < 0 for mark in dial.marks)
    return format_value(value, unit, worded, signed=signed)


def read_number(text: str, unit: str = "") -> float | None:
    """A typed number in the given unit, or None when the text is not such a number."""
    typed = text.translate(_LETTERS).strip()
    if match := _INFIX.fullmatch(typed):
        whole, prefix, fraction, rest = match.groups()
        power = _power(prefix + rest, unit)
        number = Decimal(f"{whole}.{fraction}")
    elif match := _NUMBER.fullmatch(typed):
        power = _power(match[2], unit)
        number = Decimal(match[1])
    else:
        return None
    value = None if power is None else float(number.scaleb(power))
    return value if value is not None and math.isfinite(value) else None


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


def _read_position(typed: str, dial: Dial, unit: str) -> float | None:
    if dial.kind in ("continuous", "stepped"):
        return read_clock(typed)
    if dial.kind == "slider" and unit != "%" and (match := _TRAVEL.fullmatch(typed)):
        return float(match[1])
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


@lru_cache(maxsize=256)  # asked for every mark of every control on a page
def _split_unit(unit: str) -> tuple[str, str]:
    """A unit as prefix and base: kHz is k and Hz; dB has no base that takes a prefix."""
    for base in SCALABLE:
        prefix = unit.removesuffix(base)
        if prefix != unit and prefix in _PREFIXES:
            return prefix, base
    return "", ""


def _power(typed: str, unit: str) -> int | None:
    """The power of ten from a typed prefix and unit to the control's, None if unlike."""
    if typed == "":
        return 0
    prefix, base = _split_unit(unit)
    if not base:
        if unit:
            return 0 if typed.replace(" ", "").casefold() == unit.casefold() else None
        return _PREFIXES_WITHOUT_UNIT.get(typed)
    written = typed.removesuffix("ohm") + "Ω" if typed.endswith("ohm") else typed
    if written.casefold().endswith(base.casefold()):
        written = written[: -len(base)]
    # Case tells mega from milli, so only the base may be written in either case.
    power = _PREFIXES.get(written.strip())
    return None if power is None else power - _PREFIXES[prefix]


def _stepped_up(number: Decimal, unit: str) -> tuple[Decimal, str]:
    prefix, base = _split_unit(unit)
    highest = "" if base == "s" else "M"
    while base and abs(number) >= 1000 and prefix != highest:
        number = number.scaleb(-3)
        prefix = _LADDER[_LADDER.index(prefix) + 1]
    return number, prefix + base or unit


def _decimal(value: float) -> Decimal:
    return Decimal(repr(float(value)))


def _plain(number: Decimal) -> str:
    return f"{number.normalize() + 0:f}"
