"""What the paper says of a control against the number that the database has of it, by a reckoning of its
own: from the marks that are engraved, numpy's interpolation and the prefixes of SI units."""

import re
from collections.abc import Iterator

import numpy as np

from gear.panels.models import Control, Kind, Scale
from tests.sessions.recall.blind.cells import Cell
from tests.sessions.recall.blind.pixels import (
    box_filled,
    drawing_at,
    needle_in,
    pointer_in,
    travel_in,
)

KNOBS = (Kind.CONTINUOUS, Kind.STEPPED)
PREFIXES = {"µ": 1e-6, "m": 1e-3, "": 1, "k": 1e3, "M": 1e6}
CLOCK_STEP = 2.5  # degrees: five minutes
POINTER_OFF = 5  # degrees by which a pointer may be drawn or read amiss
THUMB_OFF = 4  # per cent of a track or a scale


def place_of(control: Control, value: float) -> float:
    """Where its pointer stands, on the scale of the marks' angles."""
    values = [mark["value"] for mark in control.marks]
    angles = [mark["angle"] for mark in control.marks]
    if values[0] > values[-1] and control.kind not in (Kind.STEPPED, Kind.SWITCH):
        values, angles = values[::-1], angles[::-1]
    if control.kind in (Kind.STEPPED, Kind.SWITCH):
        return angles[values.index(value)]
    if control.scale == Scale.LOG:
        return float(np.interp(np.log(value), np.log(values), angles))
    return float(np.interp(value, values, angles))


def differences(cell: Cell, control: Control, value: float | None) -> Iterator[str]:
    """Between the words of a cell and what is logged."""
    if control.kind == Kind.SWITCH and not _lists(cell.more, control, value):
        yield f"“{cell.more}” printed of {[mark['label'] for mark in control.marks]} at {value}"
    if (control.kind == Kind.READING) != ("read" in cell.more or "meter" in cell.more):
        yield f"“{cell.more}” printed of a {control.kind}"
    if value is None or cell.value is None:
        if (value, cell.value) != (None, None):
            yield f"{cell.value} printed, {value} logged"
        return
    if not _says(cell.value, control, value):
        yield f"{cell.value} printed, {value} {control.unit} logged"
    if control.marks and not _points(cell.place, control, place_of(control, value)):
        yield f"“{cell.place}” printed beside {value}"


def _lists(words: str, control: Control, value: float | None) -> bool:
    """All positions of a switch, or how many there are and in which of them it stands."""
    positions = [mark["label"] for mark in control.marks]
    if " / " in words:
        return words.removeprefix("of ").split(" / ") == positions
    values = [mark["value"] for mark in control.marks]
    found = list(map(int, re.findall(r"\d+", words)))
    return found == [*([] if value is None else [values.index(value) + 1]), len(positions)]


def _says(words: str, control: Control, value: float) -> bool:
    engraved = [mark["label"] for mark in control.marks if mark["value"] == value]
    if words.replace("−", "-") in filter(None, engraved):
        return True
    found = re.fullmatch(r"([+−]?[\d.]+) ?(.*)", words)
    return bool(found) and _number(*found.groups(), control.unit) == value


def _number(figures: str, unit: str, wanted: str) -> float | None:
    """In the wanted unit; None where the printed one is of another kind."""
    number = float(figures.replace("−", "-"))
    if unit == wanted:
        return number
    base = wanted[-1:] if wanted.endswith("s") else wanted
    powers = {f"{prefix}{base}": power for prefix, power in PREFIXES.items()}
    if base in ("Hz", "s") and unit in powers and wanted in powers:
        return round(number * powers[unit] / powers[wanted], 9)
    return None


def _points(words: str, control: Control, place: float) -> bool:
    """Whether a clock position or a travel in per cent is the nearest to the place."""
    if control.kind in KNOBS:
        hour, minute = map(int, words.split(":"))
        return _apart(hour * 30 + minute / 2, place) <= CLOCK_STEP / 2 + 1e-6
    if control.kind == Kind.SLIDER:
        return abs(float(words.removeprefix("at ").removesuffix("%")) - place) <= 0.5 + 1e-6
    return words == ""


def drawn_otherwise(
    cell: Cell, control: Control, value: float | None, page: np.ndarray
) -> Iterator[str]:
    """Between the dots of a cell's drawing and what is logged."""
    dots = drawing_at(page, cell.left, cell.top)
    if control.kind in KNOBS:
        found = pointer_in(dots)
        wanted = None if value is None else place_of(control, value)
        is_right = None not in (found, wanted) and _apart(found, wanted) <= POINTER_OFF
    elif control.kind == Kind.SWITCH:
        found = box_filled(dots)
        values = [mark["value"] for mark in control.marks]
        wanted = None if value is None else (values.index(value), len(values))
        is_right = found == wanted
    elif control.kind == Kind.SLIDER:
        found = travel_in(dots)
        wanted = None if value is None else place_of(control, value)
        is_right = None not in (found, wanted) and abs(found - wanted) <= THUMB_OFF
    else:
        found, wanted = needle_in(dots), None
        if value is not None and control.marks:
            first, last = (control.marks[end]["angle"] for end in (0, -1))
            wanted = 100 * (place_of(control, value) - first) / (last - first)
        is_right = None not in (found, wanted) and abs(found - wanted) <= THUMB_OFF
    if not is_right and (found, wanted) != (None, None):
        yield f"drawn at {found}, {value} is at {wanted}"


def _apart(angle: float, other: float) -> float:
    return abs((angle - other + 180) % 360 - 180)
