"""The bands and filters of a stage's equaliser as they were set.

What a panel does not have, or nobody logged, goes into the notes beside the curve.
"""

import re
from collections.abc import Iterator

from gear.audio.curves import BUTTERWORTH_Q, CUTS, Band, Shape, order_of_slope
from gear.audio.values import read_number
from gear.panels.models import Control, Meaning
from sessions.setups.controls.stage_controls import StageControls, word_at

#: Drawn where a panel has no Q: about an octave and a half wide.
PLAIN_Q = 1.0
#: What is drawn where nobody says how steep a filter is.
PLAIN_ORDER = 2
_FREQUENCY = re.compile(r"\d+(?:\.\d+)? ?k?Hz|\d+k\d*", re.IGNORECASE)
_CUT_WORDS: dict[Shape, tuple[str, ...]] = {
    "high cut": ("low-pass", "low pass", "lowpass", "lpf", "high cut", "high-cut", "treble cut"),
    "low cut": ("high-pass", "high pass", "highpass", "hpf", "low cut", "low-cut", "bass cut"),
}
_SLOPE_UNITS = ("db/oct", "db/octave")


def bands_of(controls: StageControls, notes: list[str]) -> list[Band]:
    """Filters and bands that were in, in the order of the panel. Adds to the notes."""
    return [*_filters(controls, notes), *_gain_bands(controls, notes)]


def _filters(controls: StageControls, notes: list[str]) -> Iterator[Band]:
    for control in controls.of(Meaning.FILTER_FREQUENCY):
        if not is_in(controls, "filters", control.group, notes):
            continue
        if controls.setting(control) is None:
            notes.append(f"{control.label} is not logged, so it is not drawn.")
            continue
        hertz = _hertz(controls, control)
        if hertz is not None:  # else a switch that stands on flat or out
            shape, order = cut_shape(control, notes), order_of(controls, control, notes)
            yield Band(shape, hertz, order=order)


def _gain_bands(controls: StageControls, notes: list[str]) -> Iterator[Band]:
    gains = controls.of(Meaning.BAND_GAIN)
    numbers = [gain.band for gain in gains if gain.band is not None]
    for gain in gains:
        if not is_in(controls, "equaliser", gain.group, notes):
            continue
        decibels = controls.setting(gain)
        if decibels is None:
            notes.append(f"{gain.label} is not logged, so it is not drawn.")
        elif decibels and (hertz := _band_hertz(controls, gain, notes)):
            shape = band_shape(controls, gain, numbers, notes)
            yield Band(shape, hertz, decibels, band_q(controls, gain, shape, notes))


def is_in(controls: StageControls, section: str, group: str, notes: list[str]) -> bool:
    """Whether a section counts; one whose switch was not logged does, and the notes say so."""
    engaged = controls.engaged(section, group)
    if engaged is None:
        notes.append(f"Whether the {section} was in is not logged: drawn as if in.")
    if engaged is False:
        notes.append(f"The {section} was out.")
    return engaged is not False


def _hertz(controls: StageControls, control: Control) -> float | None:
    """The frequency that a control stands at: its value, else the figure engraved there."""
    value = controls.setting(control)
    return None if value is None else hertz_at(control, value)


def hertz_at(control: Control, value: float) -> float | None:
    """None where a switch stands on flat or out."""
    if control.unit in ("Hz", "kHz"):
        hertz = value * (1000 if control.unit == "kHz" else 1)
        return hertz if hertz > 0 else None
    return written_hertz(word_at(control, value))


def written_hertz(text: str) -> float | None:
    found = _FREQUENCY.search(text)
    return read_number(found[0], "Hz") if found else None


def band_knob(controls: StageControls, gain: Control, meaning: str) -> Control | None:
    if gain.band is None:
        return None
    return next(iter(controls.of(meaning, band=gain.band)), None)


def _band_hertz(controls: StageControls, gain: Control, notes: list[str]) -> float | None:
    knob = band_knob(controls, gain, Meaning.BAND_FREQUENCY)
    if knob and controls.setting(knob) is None:
        notes.append(f"{knob.label} is not logged, so {gain.label} is not drawn.")
        return None
    hertz = _hertz(controls, knob) if knob else written_hertz(f"{gain.label} {gain.group}")
    if hertz is None:
        notes.append(f"The panel gives no frequency for {gain.label}, so it is not drawn.")
    return hertz


def band_shape(
    controls: StageControls, gain: Control, numbers: list[int], notes: list[str]
) -> Shape:
    """From the band's own switch or name; else the outer ones of three or more are shelves."""
    is_lowest = bool(numbers) and gain.band == min(numbers)
    is_highest = bool(numbers) and gain.band == max(numbers)
    shelf: Shape = "high shelf" if is_highest else "low shelf"
    switch = band_knob(controls, gain, Meaning.BAND_SHAPE)
    word = (controls.word(switch) if switch else gain.label).casefold()
    if "shel" in word:
        return shelf
    if "peak" in word or "bell" in word:
        return "peak"
    shape: Shape = shelf if len(numbers) >= 3 and (is_lowest or is_highest) else "peak"
    why = f"{switch.label} is not logged" if switch else "the panel does not say"
    notes.append(f"{gain.label} is drawn as a {shape} (common practice; {why}).")
    return shape


def band_q(controls: StageControls, gain: Control, shape: Shape, notes: list[str]) -> float:
    knob = band_knob(controls, gain, Meaning.BAND_Q)
    q = controls.setting(knob) if knob else None
    if q and q > 0:
        return q
    if shape != "peak":
        return BUTTERWORTH_Q
    why = f"{knob.label} is not logged" if knob else "the panel gives none"
    notes.append(f"{gain.label} is drawn with a Q of {PLAIN_Q:g}: {why}.")
    return PLAIN_Q


def cut_shape(control: Control, notes: list[str]) -> Shape:
    said = f"{control.label} {control.group}".casefold()
    for shape in CUTS:
        if any(word in said for word in _CUT_WORDS[shape]):
            return shape
    highest = max((mark["value"] for mark in control.marks), default=0)
    shape: Shape = "low cut" if highest <= 1000 else "high cut"
    notes.append(f"{control.label} is drawn as a {shape}, by its range; its name does not say.")
    return shape


def order_of(controls: StageControls, control: Control, notes: list[str]) -> int:
    """From a slope control of the same group and band, in dB an octave."""
    for other in controls.all:
        is_slope = other.unit.casefold() in _SLOPE_UNITS
        if is_slope and (other.group, other.band) == (control.group, control.band):
            slope = controls.setting(other)
            if slope:
                return order_of_slope(slope)
    notes.append(
        f"{control.label} is drawn with {6 * PLAIN_ORDER} dB an octave: no slope is logged."
    )
    return PLAIN_ORDER
