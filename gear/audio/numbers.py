"""How a number with a unit is typed: 2k2, 2.2 kHz, 3,2 kHz, + 3, 1 200.

Numbers go through Decimal, so that 2.2 kHz is 2200 Hz to the last digit.
"""

import math
import re
from decimal import Decimal
from functools import lru_cache

#: Units that take a prefix (µ, m, k, M); decibels, ratios and per cent do not.
SCALABLE = ("Hz", "s", "Ω", "V", "W", "A", "m")
_PREFIXES = {"": 0, "µ": -6, "u": -6, "m": -3, "k": 3, "K": 3, "M": 6}
_CENTI = {"c": -2}  # of lengths only
_PREFIXES_WITHOUT_UNIT = {"k": 3, "K": 3, "M": 6}
_LADDER = ("µ", "m", "", "k", "M")
#: Units that are written in more than one way.
_SPELT = {"degrees": "°", "degree": "°", "deg": "°", "percent": "%"}
#: As it is set in type: as wide as the plus. Typed, either is understood.
MINUS = "−"
_LETTERS = str.maketrans(
    {MINUS: "-", "–": "-", "μ": "µ", "\u00a0": " ", "\u2009": " ", "\u202f": " "}
)

_NUMBER = re.compile(r"([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*(.*)")
_INFIX = re.compile(r"([+-]?\d+)([kKM])(\d+)\s*(.*)")
_SPACED_SIGN = re.compile(r"^([+-]) +(?=[\d.,])")
_SPACED_THOUSANDS = re.compile(r"(?<=\d) (?=\d{3}(?!\d))")
_COMMA = re.compile(r"(?<=\d),(?=\d)|(?<![\d,.]),(?=\d)")
#: 1,250 may be a thousand and more, or one and a quarter; 0,250 and 12,5 may not be the former.
_EITHER = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}(?!\d)")


def plainly(typed: str) -> str:
    """What was typed with single spaces, and a plain sign for each that looks like it."""
    return " ".join(typed.translate(_LETTERS).split())


def read_number(text: str, unit: str = "") -> float | None:
    """A typed number in the given unit, or None when the text is not such a number.

    A comma is a decimal point, as much of the world writes it. Raises ValueError for one that may as
    well part thousands.
    """
    typed = _without_spaces_inside(plainly(text))
    if "," in typed and _NUMBER.match(typed.replace(",", "")):
        if typed.count(",") > 1 or "." in typed or _EITHER.match(typed):
            raise ValueError(
                f"What the comma in “{text.strip()}” means is not clear: write a point before "
                "decimals, and nothing between thousands."
            )
        typed = _COMMA.sub(".", typed)
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


def stepped_up(number: Decimal, unit: str) -> tuple[Decimal, str]:
    """The number with a prefix to its unit that leaves at most three figures before the point."""
    prefix, base = _split_unit(unit)
    highest = "" if base == "s" else "M"
    while base and prefix in _LADDER and abs(number) >= 1000 and prefix != highest:
        number = number.scaleb(-3)
        prefix = _LADDER[_LADDER.index(prefix) + 1]
    return number, prefix + base or unit


def _without_spaces_inside(typed: str) -> str:
    return _SPACED_THOUSANDS.sub("", _SPACED_SIGN.sub(r"\1", typed))


@lru_cache(maxsize=256)  # asked for every mark of every control on a page
def _split_unit(unit: str) -> tuple[str, str]:
    """A unit as prefix and base: kHz is k and Hz; dB has no base that takes a prefix."""
    for base in SCALABLE:
        prefix = unit.removesuffix(base)
        if prefix != unit and prefix in _prefixes_of(base):
            return prefix, base
    return "", ""


def _prefixes_of(base: str) -> dict[str, int]:
    return _PREFIXES | _CENTI if base == "m" else _PREFIXES


def _spelt(unit: str) -> str:
    plain = unit.replace(" ", "").casefold()
    return _SPELT.get(plain, plain)


def _power(typed: str, unit: str) -> int | None:
    """The power of ten from a typed prefix and unit to the control's, None if unlike."""
    if typed == "":
        return 0
    prefix, base = _split_unit(unit)
    if not base:
        if unit:
            return 0 if _spelt(typed) == _spelt(unit) else None
        return _PREFIXES_WITHOUT_UNIT.get(typed)
    written = typed.removesuffix("ohm") + "Ω" if typed.endswith("ohm") else typed
    if written.casefold().endswith(base.casefold()):
        written = written[: -len(base)]
    # Case tells mega from milli, so only the base may be written in either case.
    prefixes = _prefixes_of(base)
    power = prefixes.get(written.strip())
    return None if power is None else power - prefixes[prefix]
