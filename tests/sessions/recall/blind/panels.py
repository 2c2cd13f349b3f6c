"""Panels that are hard to set by their paper: scales that run backwards, a switch of 41 steps, names
that fill their cells, figures that look alike on a knob that stops and on one that does not."""

import math
from random import Random

from gear.panels.models import Kind, Meaning, Panel, Scale
from tests.factories import ControlFactory, PanelFactory

OUT_IN = [{"value": 0, "angle": 0, "label": "out"}, {"value": 1, "angle": 1, "label": "in"}]
OFF_ON = [{"value": 0, "angle": 0, "label": "off"}, {"value": 1, "angle": 1, "label": "on"}]
NORMAL_REVERSED = [
    {"value": 0, "angle": 0, "label": "normal"},
    {"value": 1, "angle": 1, "label": "reversed"},
]


def marks(*values, start: float = -150, end: float = 150, labels=()) -> list[dict]:
    """At even distances from start to end."""
    step = (end - start) / (len(values) - 1)
    labels = labels or [""] * len(values)
    return [
        {"value": value, "angle": round(start + place * step, 2), "label": label}
        for place, (value, label) in enumerate(zip(values, labels, strict=True))
    ]


def knob(label: str, unit: str, engraved: list[dict], **more) -> dict:
    return {"label": label, "unit": unit, "marks": engraved, "kind": Kind.CONTINUOUS} | more


def stepped(label: str, unit: str, engraved: list[dict], **more) -> dict:
    return knob(label, unit, engraved, kind=Kind.STEPPED) | more


def switch(label: str, engraved: list[dict], **more) -> dict:
    return knob(label, "", engraved, kind=Kind.SWITCH) | more


def fader(label: str, **more) -> dict:
    travel = [(-60, 0, "-∞"), (-30, 18, ""), (-10, 55, ""), (0, 75, "0"), (10, 100, "10")]
    engraved = [{"value": value, "angle": angle, "label": words} for value, angle, words in travel]
    return knob(label, "dB", engraved, kind=Kind.SLIDER) | more


def reading(label: str, unit: str, engraved: list[dict], **more) -> dict:
    return knob(label, unit, engraved, kind=Kind.READING) | more


LOG, FALLING = {"scale": Scale.LOG}, [300, 150, 80, 40, 20]
SUPPLY = [
    switch("Mains", OFF_ON, meaning=Meaning.POWER),
    stepped(
        "Pattern",
        "",
        marks(
            *range(9),
            labels=["omni", "", "", "wide", "cardioid", "", "super", "", "figure of eight"],
        ),
        meaning=Meaning.PATTERN,
    ),
]
PREAMPLIFIER = [
    switch("48 V", OFF_ON, meaning=Meaning.PHANTOM),
    switch("Pad", OUT_IN),
    switch("Polarity", NORMAL_REVERSED, meaning=Meaning.POLARITY),
    knob("Low cut", "Hz", marks(*FALLING), **LOG),  # the lower, the further to the right
    stepped("Gain", "dB", marks(*range(18, 66, 6)), meaning=Meaning.GAIN),
    knob("Output trim", "dB", marks(-20, -6, 0, 6), meaning=Meaning.OUTPUT),
]
EQUALISER = [
    knob("Low gain", "dB", marks(-15, 0, 15), group="Low"),
    knob("Low frequency", "Hz", marks(30, 60, 120, 240), group="Low", **LOG),
    knob("Gain", "dB", marks(15, 0, -15), group="Middle"),
    knob("Frequency", "Hz", marks(220, 470, 1000, 2200, 4700), group="Middle", **LOG),
    knob("Q", "", marks(3, 1.5, 0.7, 0.4), group="Middle", **LOG),
    knob("Gain", "dB", marks(-15, 0, 15), group="High"),
    stepped("Frequency", "Hz", marks(2200, 4700, 7500, 11000, 16000), group="High"),
    stepped("Attenuator of 41 steps", "dB", marks(*range(-20, 21)), group="Output"),
    switch("Equaliser", OUT_IN, meaning=Meaning.BYPASS, group="Output"),
]
COMPRESSOR = [
    knob("Threshold", "dBu", marks(-30, -20, -10, 0, 12), meaning=Meaning.THRESHOLD),
    stepped("Ratio", ":1", marks(1.5, 2, 3, 4, 8, 20), meaning=Meaning.RATIO),
    knob("Attack", "ms", marks(60, 20, 6, 2, 0.6), meaning=Meaning.ATTACK, **LOG),
    knob("Release", "s", marks(0.05, 0.2, 0.8, 3.2), meaning=Meaning.RELEASE, **LOG),
    knob("Side-chain low-frequency contour dip", "Hz", marks(500, 250, 120, 60), **LOG),
    knob("Make-up", "dB", marks(0, 4, 10, 20), meaning=Meaning.MAKE_UP),
    switch("Compressor", OUT_IN, meaning=Meaning.BYPASS),
    reading(
        "Gain reduction",
        "dB",
        marks(0, 2, 5, 10, 20, start=-45, end=45),
        meaning=Meaning.GAIN_REDUCTION,
    ),
]
STRIP = [
    knob("Trim", "dB", marks(-12, 0, 12)),
    knob("Pan", "%", marks(-100, 0, 100, labels=["left", "centre", "right"])),
    fader("Fader"),
    fader("Reverberation send fader, before fading"),
    reading("Level", "dBu", marks(-20, -10, 0, 4, 12, start=-45, end=45)),
]
CONVERTER = [
    switch(
        "Full scale",
        [
            {"value": 15, "angle": 0, "label": "+15"},
            {"value": 18, "angle": 1, "label": "+18"},
            {"value": 24, "angle": 2, "label": "+24"},
        ],
    )
]
SPLITTER = [
    switch(
        "Output taken",
        [
            {"value": 0, "angle": 0, "label": "direct"},
            {"value": 1, "angle": 1, "label": "isolated"},
        ],
        meaning=Meaning.SPLIT_OUTPUT,
    )
]
EFFECT = [
    knob("Pre-delay", "ms", marks(0, 20, 60, 120)),
    knob("Decay", "s", marks(0.3, 1, 3, 9), **LOG),
    reading("Input peak", "dBFS", []),
]
AMPLIFIER = [
    knob("Volume", "", marks(*range(11), labels=[str(figure) for figure in range(11)])),
    knob("Bass", "", marks(0, 5, 10)),
    switch("Bright", OFF_ON),
]


def engrave(model, controls: list[dict]) -> Panel:
    panel = PanelFactory(model=model)
    for number, facts in enumerate(controls, 1):
        facts = {"meaning": Meaning.OTHER} | facts
        ControlFactory(panel=panel, position=number, key=f"control-{number}", **facts)
    return panel


def turned(panel: Panel, chance: Random, **given) -> dict[str, float]:
    """Every control somewhere on its scale, but for one in eight, which nobody logged; `given` are
    values by the control's label."""
    settings = {}
    for control in panel.controls.all():
        if control.label in given:
            settings[control.key] = given[control.label]
        elif chance.random() > 1 / 8:
            settings[control.key] = _somewhere(control, chance)
    return settings


def _somewhere(control, chance: Random) -> float:
    values = [mark["value"] for mark in control.marks]
    if not values:
        return round(chance.uniform(-40, 0), 1)
    if control.kind in (Kind.STEPPED, Kind.SWITCH):
        return chance.choice(values)
    low, high = min(values), max(values)
    if control.scale == Scale.LOG:
        found = math.exp(chance.uniform(math.log(low), math.log(high)))
        found = round(found, 1 - math.floor(math.log10(found)))
    else:
        found = round(chance.uniform(low, high), 1)
    return min(max(found, low), high)
