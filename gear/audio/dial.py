"""A control's engraved marks, and the way between a setting and where its pointer stands."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, get_args

from gear.audio.clock import clock_text

Kind = Literal["continuous", "stepped", "switch", "slider", "reading"]
Scale = Literal["linear", "log"]

KINDS: tuple[Kind, ...] = get_args(Kind)
SCALES: tuple[Scale, ...] = get_args(Scale)
#: Kinds that rest only on their marks.
DETENTED: tuple[Kind, ...] = ("stepped", "switch")

_NO_MARKS = "This control has no engraved marks."


@dataclass(frozen=True)
class Mark:
    """One engraved mark: what it stands for, where it is, and what is written there.

    value is in the control's unit. angle says where the mark is:
    - on a knob or a meter, degrees clockwise from straight up (-180 to 180);
    - on a slider, per cent of travel from its lower or left end (0 to 100);
    - on a switch, the number of the position, counted from 0.

    Raises ValueError when a number is not finite, or when the label could not be
    typed in a list of marks.
    """

    value: float
    angle: float
    label: str = ""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and math.isfinite(self.angle)):
            raise ValueError(
                f"The mark “{self.label}” needs a number for its value and its position. "
                "For infinity, give the last useful number and write ∞ in its label."
            )
        if any(sign in self.label for sign in ",;"):
            raise ValueError(
                f"The label “{self.label}” has a comma or semicolon, which separates marks. "
                "Leave it out."
            )
        if self.label != " ".join(self.label.split()):
            raise ValueError(f"The label “{self.label}” has extra spaces or line breaks.")

    @property
    def name(self) -> str:
        """What to call the mark in a sentence: its label, else its value."""
        return self.label or f"{self.value:g}"


@dataclass(frozen=True)
class Dial:
    """The marks of one control, in the order of rising angle.

    Between two marks of a continuous knob, slider or meter the value runs evenly
    (scale "linear") or evenly in its logarithm ("log"). Values may fall as the angle
    rises. A stepped knob or a switch stands on one of its marks, whose values need
    only differ. A reading may have no marks at all.

    Raises ValueError when the marks cannot belong to such a control.
    """

    marks: tuple[Mark, ...]
    kind: Kind = "continuous"
    scale: Scale = "linear"

    def __post_init__(self) -> None:
        object.__setattr__(self, "marks", tuple(self.marks))
        _check_names(self.kind, self.scale)
        _check_count(self.marks, self.kind)
        _check_places(self.marks, self.kind)
        _check_values(self.marks, self.kind)
        _check_scale(self.marks, self.scale)

    def angle_of(self, value: float) -> float:
        """Where the pointer stands for a value (see Mark.angle). Inverse of value_at.

        Raises ValueError outside the marks, or between the positions of a stepped
        control.
        """
        if self.kind in DETENTED:
            return self._detent(value).angle
        low, high = self._segment(value, lambda mark: mark.value, "{:g}".format)
        if value in (low.value, high.value):
            return low.angle if value == low.value else high.angle
        if self.scale == "log":
            share = math.log(value / low.value) / math.log(high.value / low.value)
        else:
            share = (value - low.value) / (high.value - low.value)
        return _between(low.angle + share * (high.angle - low.angle), low.angle, high.angle)

    def value_at(self, angle: float) -> float:
        """The value for a pointer position, in the control's unit. Inverse of angle_of.

        A stepped control falls into the nearest mark. Raises ValueError outside the marks.
        """
        low, high, angle = self._around(angle)
        if self.kind in DETENTED:
            return min((low, high), key=lambda mark: abs(mark.angle - angle)).value
        if angle in (low.angle, high.angle):
            return low.value if angle == low.angle else high.value
        share = (angle - low.angle) / (high.angle - low.angle)
        if self.scale == "log":
            value = low.value * (high.value / low.value) ** share
        else:
            value = low.value + share * (high.value - low.value)
        return _between(value, low.value, high.value)

    def read_at(self, angle: float) -> float:
        """value_at with no more figures than the eye can tell from a pointer.

        Three figures on a log scale; else, and where the marks are nearly equal, a hundredth of the
        way between two marks.
        """
        value = self.value_at(angle)
        low, high, _ = self._around(angle)
        if self.kind in DETENTED or value in (low.value, high.value):
            return value
        size = abs(high.value - low.value)
        if self.scale == "log":
            size = min(size, value)
        rounded = round(value, 2 - math.floor(math.log10(size)))
        return _between(rounded, low.value, high.value)

    def nearest_mark(self, value: float) -> Mark:
        """The mark closest in value (by ratio on a log scale): the detent it falls into.

        Raises ValueError when the control has no marks.
        """
        if not self.marks:
            raise ValueError(_NO_MARKS)
        if self.scale == "log" and value > 0:
            return min(self.marks, key=lambda mark: abs(math.log(mark.value / value)))
        return min(self.marks, key=lambda mark: abs(mark.value - value))

    def _detent(self, value: float) -> Mark:
        mark = self.nearest_mark(value)
        if not math.isclose(mark.value, value, rel_tol=1e-9):
            raise ValueError(
                f"There is no position for {value:g}. The positions are {_names(self.marks)}."
            )
        return mark

    def _around(self, angle: float) -> tuple[Mark, Mark, float]:
        """The neighbouring marks, and the angle as this control counts it."""
        angles = [mark.angle for mark in self.marks]
        if angle == -180 and 180 in angles and -180 not in angles:
            angle = 180.0  # 6 o'clock, met at the far end of the travel
        write = {"slider": "{:g} % of travel".format, "switch": "position {:g}".format}
        low, high = self._segment(angle, lambda mark: mark.angle, write.get(self.kind, clock_text))
        return low, high, angle

    def _segment(
        self, at: float, place: Callable[[Mark], float], write: Callable[[float], str]
    ) -> tuple[Mark, Mark]:
        for low, high in pairwise(self.marks):
            if min(place(low), place(high)) <= at <= max(place(low), place(high)):
                return low, high
        if not self.marks:
            raise ValueError(_NO_MARKS)
        first, last = write(place(self.marks[0])), write(place(self.marks[-1]))
        raise ValueError(f"{write(at)} is outside this control, which runs from {first} to {last}.")


def _between(number: float, a: float, b: float) -> float:
    # Rounding may step a hair past the end of the segment.
    return max(min(a, b), min(max(a, b), number))


def _names(marks: Iterable[Mark]) -> str:
    return ", ".join(mark.name for mark in marks)


def _check_names(kind: str, scale: str) -> None:
    if kind not in KINDS:
        raise ValueError(f"“{kind}” is not a kind of control. Choose one of {', '.join(KINDS)}.")
    if scale not in SCALES:
        raise ValueError(f"“{scale}” is not a scale. Choose linear or log.")


def _check_count(marks: tuple[Mark, ...], kind: Kind) -> None:
    if len(marks) < 2 and not (kind == "reading" and not marks):
        raise ValueError(
            f"A {kind} control needs at least two marks, one at each end of its travel."
        )


def _check_places(marks: tuple[Mark, ...], kind: Kind) -> None:
    for low, high in pairwise(marks):
        if high.angle <= low.angle:
            raise ValueError(
                f"The mark {high.name} does not come after {low.name}. List the marks "
                "in the order in which the control passes them, clockwise or upwards."
            )
    for mark in marks:
        if kind == "slider" and not 0 <= mark.angle <= 100:
            raise ValueError(
                f"The mark {mark.name} is at {mark.angle:g} %. "
                "A slider’s travel runs from 0 % to 100 %."
            )
        if kind not in ("slider", "switch") and not -180 <= mark.angle <= 180:
            raise ValueError(
                f"The mark {mark.name} is at {mark.angle:g} degrees. "
                "A knob’s marks lie within -180 and 180 degrees of straight up."
            )


def _check_values(marks: tuple[Mark, ...], kind: Kind) -> None:
    if kind in DETENTED:
        if len({mark.value for mark in marks}) < len(marks):
            raise ValueError(f"Two of the positions {_names(marks)} have the same value.")
        return
    rising = len(marks) > 1 and marks[1].value > marks[0].value
    for low, high in pairwise(marks):
        if high.value == low.value or (high.value > low.value) != rising:
            raise ValueError(
                f"The mark {high.name} ({high.value:g}) after {low.name} ({low.value:g}) turns "
                "back. Along the control the values must all rise or all fall."
            )


def _check_scale(marks: tuple[Mark, ...], scale: Scale) -> None:
    for mark in marks:
        if scale == "log" and mark.value <= 0:
            raise ValueError(
                f"The mark {mark.name} has the value {mark.value:g}. A log scale needs "
                "values above zero: choose linear, or correct the value."
            )
