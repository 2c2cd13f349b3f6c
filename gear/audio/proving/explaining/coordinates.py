"""Where a control stands, as a number in which its effect is nearly even: dB, logarithms of Hz and Q, and of
a ratio the share that it takes off."""

import math

from gear.audio.proving.explaining.model import Knob

LOGARITHMIC = {"band_frequency", "filter_frequency", "band_q", "attack", "release"}
#: A cut that is out stands so far beyond what is heard.
_LEAST, _MOST = 0.01, 1e6


def coordinate(meaning: str, figure: float) -> float:
    """Inverse of `figure_at`, but for what lies beyond every filter."""
    if meaning in LOGARITHMIC:
        return math.log(min(max(figure, _LEAST), _MOST))
    if meaning == "ratio":
        return 1 - 1 / max(figure, 1.0)
    return figure


def figure_at(meaning: str, x: float) -> float:
    """In Hz, dB, as in 4:1, and so on."""
    if meaning in LOGARITHMIC:
        return math.exp(x)
    if meaning == "ratio":
        return 1 / max(1 - x, 1e-6)
    return x


def coordinate_of(knob: Knob, value: float) -> float:
    """Of a value on the knob's own scale."""
    return coordinate(knob.meaning, knob.figure(value))


def positions(knob: Knob) -> list[tuple[float, float]]:
    """A stepped control's values, each with its coordinate."""
    return [(mark.value, coordinate_of(knob, mark.value)) for mark in knob.dial.marks]


def ends(knob: Knob) -> tuple[float, float]:
    """The lowest and the highest coordinate that it reaches."""
    reached = [x for _, x in positions(knob)]
    return min(reached), max(reached)


def value_near(knob: Knob, x: float) -> float:
    """The value on its scale at or next to a coordinate, in figures that an eye can tell."""
    if knob.is_stepped:
        return min(positions(knob), key=lambda pair: abs(pair[1] - x))[0]
    low, high = ends(knob)
    value = figure_at(knob.meaning, min(max(x, low), high)) / knob.times
    marks = [mark.value for mark in knob.dial.marks]
    value = float(min(max(value, min(marks)), max(marks)))
    return knob.dial.read_at(knob.dial.angle_of(value))
