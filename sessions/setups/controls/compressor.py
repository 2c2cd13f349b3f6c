"""The static curve of a stage's compressor as it was set, where its panel has figures for it."""

import math

from gear.audio.curves import Compressor
from gear.panels.models import Control, Kind, Meaning
from sessions.setups.controls.equaliser import is_in
from sessions.setups.controls.stage_controls import StageControls

#: Drawn where a panel says soft and no more.
SOFT_KNEE_DB = 10.0


def compressor_of(controls: StageControls, notes: list[str]) -> Compressor | None:
    """The compressor, None where it was out or can't be computed. Adds to the notes."""
    threshold = _in_figures(controls, Meaning.THRESHOLD)
    ratio = _in_figures(controls, Meaning.RATIO)
    if threshold is None or ratio is None:
        notes.append(_not_computed(threshold, ratio))
        return None
    unlogged = [knob.label for knob in (threshold, ratio) if controls.setting(knob) is None]
    if unlogged:
        notes.append(f"Not logged: {' and '.join(unlogged)}. So there is no curve.")
        return None
    if not is_in(controls, "compressor", threshold.group, notes):
        return None
    is_infinite = "∞" in controls.word(ratio)
    return Compressor(
        controls.setting(threshold),
        math.inf if is_infinite else max(1.0, controls.setting(ratio)),
        _knee(controls, notes),
        _make_up(controls, notes),
    )


def threshold_of(controls: StageControls) -> Control | None:
    """The threshold knob, if it has a scale in decibels."""
    return _in_figures(controls, Meaning.THRESHOLD)


def _in_figures(controls: StageControls, meaning: str) -> Control | None:
    """The control of a meaning whose scale arithmetic can take."""
    unit = ":1" if meaning == Meaning.RATIO else "dB"
    return next((knob for knob in controls.of(meaning) if knob.unit.startswith(unit)), None)


def _not_computed(threshold: Control | None, ratio: Control | None) -> str:
    missing = [
        words
        for knob, words in ((threshold, "threshold in decibels"), (ratio, "ratio in figures"))
        if knob is None
    ]
    return (
        f"The panel has no {' and no '.join(missing)}, so its curve can’t be computed: "
        "go by the gain reduction that was read."
    )


def _make_up(controls: StageControls, notes: list[str]) -> float:
    knob = next((k for k in controls.of(Meaning.MAKE_UP) if k.unit.startswith("dB")), None)
    make_up = controls.setting(knob) if knob else 0.0
    if make_up is None:
        notes.append(f"{knob.label} is not logged: drawn without it.")
    return make_up or 0.0


def _knee(controls: StageControls, notes: list[str]) -> float:
    knee = next(iter(controls.of(Meaning.KNEE)), None)
    if knee is None:
        notes.append("Drawn with a hard knee: the panel does not say.")
        return 0.0
    value, word = controls.setting(knee), controls.word(knee).casefold()
    if value is not None and knee.unit == "dB" and knee.kind != Kind.SWITCH:
        return max(0.0, value)
    if "soft" in word:
        notes.append(f"Drawn with a soft knee of {SOFT_KNEE_DB:g} dB: the panel gives no width.")
        return SOFT_KNEE_DB
    if "hard" not in word:
        notes.append(f"{knee.label} is not logged in figures: drawn with a hard knee.")
    return 0.0
