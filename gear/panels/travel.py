"""How far a control was moved between two settings: in its unit, and in travel of its pointer."""

from dataclasses import dataclass

from gear.audio.dial import DETENTED
from gear.audio.values import MINUS, RATIO, format_value
from gear.panels.models import Control, Kind

_TRAVEL_WORDS = {Kind.SLIDER: "% of travel", Kind.SWITCH: "positions"}


@dataclass(frozen=True)
class Travel:
    """difference is in the control's unit, empty where there is none to speak of; amount in degrees
    (per cent of a slider's travel, positions of a switch), None where a value has no place on its
    control. is_beyond: further than the control's tolerance."""

    difference: str
    amount: float | None
    unit: str
    is_beyond: bool

    @property
    def words(self) -> str:
        if self.amount is None:
            return ""
        unit = self.unit.removesuffix("s") if self.amount == 1 else self.unit
        return f"{self.amount:.0f}{unit if unit == '°' else f' {unit}'}"


def travel(control: Control, value: float, *, was: float, on: Control | None = None) -> Travel:
    """From `was` (read `on` another version of the control, if that differs) to `value`.

    A stepped control or a switch has no tolerance: another position is another setting.
    """
    amount = _amount(control, value, on or control, was)
    if value == was:
        is_beyond = False
    elif amount is None or control.kind in DETENTED:
        is_beyond = True
    else:
        is_beyond = amount > float(control.tolerance_degrees)
    return Travel(
        _difference(control, value - was), amount, _TRAVEL_WORDS.get(control.kind, "°"), is_beyond
    )


def _amount(control: Control, value: float, on: Control, was: float) -> float | None:
    try:
        return abs(control.dial().angle_of(value) - on.dial().angle_of(was))
    except ValueError:
        return None


def _difference(control: Control, difference: float) -> str:
    if control.kind == Kind.SWITCH or control.unit == RATIO or difference == 0:
        return ""
    sign = "+" if difference > 0 else MINUS
    unit = "dB" if control.unit.startswith("dB") else control.unit  # between two levels: a ratio
    return f"{sign}{format_value(round(abs(difference), 6), unit, signed=False)}"
