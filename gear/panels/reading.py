"""What a control's setting says in words, the same on every page and every sheet."""

from dataclasses import dataclass

from gear.audio.clock import clock_text
from gear.audio.dial import Dial
from gear.audio.values import setting_text
from gear.panels.models import Control, Kind

NOT_LOGGED = "not logged"
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
