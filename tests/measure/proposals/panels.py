"""The controls of chains of all kinds, each kind with scales of our own, and where they stand."""

from dataclasses import replace

import numpy as np

from gear.audio.dial import Dial, Mark
from gear.audio.proving.explaining.model import Dynamics, Filter, Gain, Knob, Model

ANGLES = -150.0, 150.0


def knob(key: str, meaning: str, marks, unit: str, *, scale="linear", stepped=False) -> Knob:
    """It stands at its first mark until it is set."""
    low, high = ANGLES
    angles = np.linspace(low, high, len(marks))
    kind = "stepped" if stepped else "continuous"
    dial = Dial(tuple(Mark(v, float(a)) for v, a in zip(marks, angles, strict=True)), kind, scale)
    return Knob(key, meaning, marks[0], dial, unit)


_BAND_DB = (-12, -6, -3, 0, 3, 6, 12)
_SPANS = {
    1: ("low shelf", (50, 100, 200, 400)),
    2: ("peak", (120, 300, 800, 2000)),
    3: ("peak", (800, 2000, 5000, 9000)),
    4: ("high shelf", (3000, 6000, 9000, 14000)),
}


def drawn(chance: np.random.Generator) -> Model:
    """A preamplifier, filters and bands as it happens, a compressor in two of three, a fader."""
    parts = [Gain(_set(_preamplifier(chance), chance))]
    if chance.random() < 0.5:
        cut = knob("low-cut", "filter_frequency", (30, 60, 120, 240), "Hz", scale="log")
        parts.append(Filter("low cut", _set(cut, chance), order=int(chance.integers(1, 4))))
    for number in sorted(chance.choice(4, size=chance.integers(1, 5), replace=False) + 1):
        parts.append(_band(int(number), chance))
    squeezed = _compressor(chance) if chance.random() < 0.67 else []
    at = len(parts) if chance.random() < 0.8 else 1
    parts[at:at] = squeezed
    if chance.random() < 0.6:
        fader = knob("fader", "output", (-20, -10, -5, 0, 5, 10), "dB")
        parts.append(Gain(_set(fader, chance)))
    return Model(tuple(parts))


def _preamplifier(chance) -> Knob:
    if chance.random() < 0.5:
        return knob("gain", "gain", tuple(range(18, 67, 6)), "dB", stepped=True)
    return knob("gain", "gain", (0, 15, 30, 45, 60), "dB")


def _band(number: int, chance) -> Filter:
    shape, span = _SPANS[number]
    hertz = knob(f"{number}-frequency", "band_frequency", span, "Hz", scale="log")
    if chance.random() < 0.3:
        hertz = knob(f"{number}-frequency", "band_frequency", span, "Hz", stepped=True)
    gain = knob(f"{number}-gain", "band_gain", _BAND_DB, "dB")
    has_q = shape == "peak" and chance.random() < 0.7
    q = knob(f"{number}-q", "band_q", (0.5, 0.8, 1.4, 2.5, 5), "", scale="log")
    plain = 1.0 if shape == "peak" else 0.7071
    return Filter(
        shape, _set(hertz, chance), _set(gain, chance), _set(q, chance) if has_q else plain
    )


def _compressor(chance) -> list:
    threshold = knob("threshold", "threshold", (-30, -20, -10, 0, 10), "dBu")
    ratio = knob("ratio", "ratio", (1.5, 2, 3, 6, 12), ":1", scale="log")
    make_up = knob("make-up", "make_up", (0, 5, 10, 15, 20), "dB")
    threshold = replace(threshold, value=round(chance.uniform(-22, -4), 1))
    made = [Dynamics(threshold, _set(ratio, chance), float(chance.choice([0, 3, 6, 10])))]
    return [*made, Gain(_set(make_up, chance))] if chance.random() < 0.8 else made


def _set(it: Knob, chance) -> Knob:
    """Somewhere on its scale, not at its very ends; a band is flat in one of six."""
    if it.meaning == "band_gain" and chance.random() < 1 / 6:
        return replace(it, value=0.0)
    if it.is_stepped:
        return replace(it, value=float(chance.choice([mark.value for mark in it.dial.marks])))
    return replace(it, value=it.dial.read_at(chance.uniform(-120, 120)))
