"""The form in which a control's engraved marks are typed.

    -20 @ 7:00, 0 @ 12:00, +20 @ 5:00 = max

Each mark is its value, @ and where it stands, and, if something else is engraved there
than the value, = and that label. A knob's place is a clock position (or degrees, 33.7°),
a slider's is per cent of travel (0 @ 0%); a switch has none, its positions count up in
the order typed (0 = out, 1 = in). Marks are parted by commas, semicolons or new lines.
"""

import re
from collections.abc import Iterable

from gear.audio.clock import clock_text, read_clock
from gear.audio.dial import Kind, Mark
from gear.audio.numbers import read_number
from gear.audio.values import plain_number

_EXAMPLES: dict[str, str] = {
    "slider": "-60 @ 0%, 0 @ 75%, +10 @ 100%",
    "switch": "0 = out, 1 = in",
}
_KNOB_EXAMPLE = "-20 @ 7:00, 0 @ 12:00, +20 @ 5:00 = max"
#: A figure without a place may be the half of one with a decimal comma.
_BARE = re.compile(r"[+−-]?\d+")
_COMMA = "A comma parts marks, so write decimals with a point. "
_DEGREES = re.compile(r"([+-]?\d+(?:\.\d+)?) ?(?:°|deg|degrees)")
_PERCENT = re.compile(r"(\d+(?:\.\d+)?) ?%")


def marks_from_text(text: str, kind: Kind = "continuous", unit: str = "") -> tuple[Mark, ...]:
    """The marks typed in the form above; Dial then checks them as a whole.

    Values may carry the control's unit (2.2 kHz, 4:1). A mark without a label is
    engraved with its value as typed; an empty label (0 @ 12:00 =) is a bare tick.
    Raises ValueError that names the piece not understood and gives an example.
    """
    pieces = [piece.strip() for piece in re.split(r"[,;\n]", text) if piece.strip()]
    marks: list[Mark] = []
    for piece in pieces:
        try:
            marks.append(_mark(piece, kind, unit, len(marks)))
        except ValueError as error:
            comma = _COMMA if "," in text and _BARE.fullmatch(piece) else ""
            raise ValueError(f"“{piece}”: {error} {comma}{_example(kind)}") from None
    return tuple(marks)


def marks_to_text(marks: Iterable[Mark], kind: Kind = "continuous", unit: str = "") -> str:
    """The marks in the form above. Inverse of marks_from_text."""
    return ", ".join(_piece(mark, kind, unit) for mark in marks)


def _mark(piece: str, kind: Kind, unit: str, position: int) -> Mark:
    head, equals, label = piece.partition("=")
    typed, at, place = (part.strip() for part in head.partition("@"))
    value = read_number(typed, unit)
    if value is None:
        raise ValueError(f"“{typed}” is not a value{f' in {unit}' if unit else ''}.")
    if kind == "switch":
        if at:
            raise ValueError("A switch’s positions have no place to write after @.")
        angle = float(position)
    elif kind == "slider":
        angle = _travel(place)
    else:
        angle = _angle(place, is_first=position == 0)
    return Mark(value, angle, " ".join((label if equals else typed).split()))


def _travel(place: str) -> float:
    if match := _PERCENT.fullmatch(place):
        return float(match[1])
    raise ValueError("After @ write how far along the travel the mark is, in per cent.")


def _angle(place: str, *, is_first: bool) -> float:
    if match := _DEGREES.fullmatch(place):
        return float(match[1])
    angle = read_clock(place)
    if angle is None:
        raise ValueError("After @ write the mark’s clock position.")
    # 6 o'clock is where a full turn begins and where it ends.
    return 180.0 if angle == -180 and not is_first else angle


def _example(kind: Kind) -> str:
    return f"Write marks like this: {_EXAMPLES.get(kind, _KNOB_EXAMPLE)}."


def _piece(mark: Mark, kind: Kind, unit: str) -> str:
    is_its_value = read_number(mark.label, unit) == mark.value
    typed = mark.label if is_its_value else plain_number(mark.value)
    place = _place(mark.angle, kind)
    label = "" if is_its_value else f" = {mark.label}".rstrip()
    return f"{typed}{place}{label}"


def _place(angle: float, kind: Kind) -> str:
    if kind == "switch":
        return ""
    if kind == "slider":
        return f" @ {plain_number(angle)}%"
    if read_clock(clock_text(angle)) == angle:
        return f" @ {clock_text(angle)}"
    return f" @ {plain_number(angle)}°"
