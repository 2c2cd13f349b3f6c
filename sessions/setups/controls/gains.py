"""The gains of a stage in decibels, from its logged controls by their meaning."""

from gear.panels.models import Control, Meaning
from sessions.setups.controls.stage_controls import StageControls

#: By what they are to the arithmetic.
_GAINS = {
    Meaning.GAIN: "gain_db",
    Meaning.OUTPUT: "gain_db",
    Meaning.PAD: "pad_db",
    Meaning.MAKE_UP: "make_up_db",
}


def summed_gains(controls: StageControls, notes: list[str]) -> tuple[dict[str, float], list[str]]:
    """The sums by their names in `StageGains`, and the labels of gains that nobody logged."""
    sums = dict.fromkeys(_GAINS.values(), 0.0)
    unlogged = []
    for control in controls.of(*_GAINS):
        if not _counts(controls, control, notes):
            continue
        value = controls.setting(control)
        if value is None:
            unlogged.append(control.label)
        else:
            sums[_GAINS[control.meaning]] += value
    return sums, unlogged


def _counts(controls: StageControls, control: Control, notes: list[str]) -> bool:
    """Whether the control is a gain in decibels that was in the path."""
    if control.unit != "dB":
        notes.append(f"{control.label} has no scale in dB, so it is not counted.")
        return False
    is_dynamics = control.meaning == Meaning.MAKE_UP
    return not (is_dynamics and controls.engaged("compressor", control.group) is False)
