"""What a control's setting says in words, the same on every page and every sheet."""

import math
from dataclasses import dataclass
from itertools import pairwise

from gear.audio.clock import clock_text
from gear.audio.dial import Dial
from gear.audio.values import MINUS, RATIO, read_number, setting_text
from gear.panels.models import Control, Kind

NOT_LOGGED = "not logged"
ROOM_FOR_POSITIONS = 11  # letters, beside a drawn switch on paper
MANY = 6  # marks in even steps, of which the first two and the last say it all
PHOTOGRAPHED = "photographed, not logged"
OFF_THE_SCALE = "off the scale"


@dataclass(frozen=True)
class ControlReading:
    """A setting as it is read out.

    value_text is the value with its unit, or "not logged". clock_text is where the pointer
    stands: a clock position on a knob, travel in per cent on a slider, empty elsewhere.
    angle is counted as in gear.audio.dial.Mark; None when nothing was logged or the value has no
    place on the control.
    """

    label: str
    group: str
    value_text: str
    clock_text: str
    logged: bool
    angle: float | None

    @property
    def sentence(self) -> str:
        """All in one line: Gain: 35 dB, 1:00."""
        said = ", ".join(text for text in (self.value_text, self.clock_text) if text)
        return f"{self.label}: {said}"


def read_control(control: Control, value: float | None) -> ControlReading:
    """The reading of a control at a value in its unit; None is a control that was not logged."""
    if value is None:
        return ControlReading(control.label, control.group, NOT_LOGGED, "", False, None)
    dial = control.dial()
    angle = _angle(dial, value)
    return ControlReading(
        label=control.label,
        group=control.group,
        value_text=setting_text(value, dial, control.unit),
        clock_text=_place(control.kind, angle) if dial.marks else "",
        logged=True,
        angle=angle,
    )


def marks_in_words(control: Control) -> str:
    """What is engraved at its marks, in the order of its travel: 20, 45, 110, 250 Hz; 0, 6 … 60 dB
    (11 marks). Empty where no mark has a figure or a word."""
    labels = [as_set(mark["label"]) for mark in control.marks if mark.get("label")]
    figures = [read_number(label, control.unit) for label in labels]
    unit = "" if control.unit == RATIO else " "
    unit += control.unit
    if not any(figure is not None for figure in figures) or labels[-1].endswith(control.unit):
        unit = ""
    if len(labels) >= MANY and None not in figures and _is_even(figures):
        return f"{labels[0]}, {labels[1]} … {labels[-1]}{unit} ({len(labels)} marks)"
    return f"{', '.join(labels)}{unit}"


def positions_in_words(control: Control, value: float | None) -> str:
    """Of a switch all of its positions in order, "of off / on", or where that takes too much room, in which
    it stands, "2 of 5"; empty for what is no switch."""
    dial = control.dial() if control.kind == Kind.SWITCH else None
    if dial is None or not dial.marks:
        return ""
    said = " / ".join(setting_text(mark.value, dial, control.unit) for mark in dial.marks)
    if len(said) <= ROOM_FOR_POSITIONS:
        return f"of {said}"
    places = [place for place, mark in enumerate(dial.marks, 1) if mark.value == value]
    return f"{places[0]} of {len(dial.marks)}" if places else f"of {len(dial.marks)} positions"


def as_set(label: str) -> str:
    """A negative number with a true minus, as figures have it everywhere."""
    return MINUS + label[1:] if label.startswith("-") else label


def _is_even(figures: list[float]) -> bool:
    steps = [after - before for before, after in pairwise(figures)]
    return all(math.isclose(step, steps[0], rel_tol=1e-6, abs_tol=1e-9) for step in steps)


def _angle(dial: Dial, value: float) -> float | None:
    try:
        return dial.angle_of(value)
    except ValueError:
        return None


def _place(kind: str, angle: float | None) -> str:
    if angle is None:
        return OFF_THE_SCALE
    if kind in (Kind.CONTINUOUS, Kind.STEPPED):
        return clock_text(angle)
    if kind == Kind.SLIDER:
        return f"at {round(angle)} %"
    return ""
