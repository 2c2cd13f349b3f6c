"""A control drawn in plain strokes, for pages and for paper.

A knob is a ring with its marks and a thick pointer (the marks of a stepped knob touch the ring),
a switch a row of boxes with one filled, a slider a track with a thumb, a meter a scale with a
needle. What was not logged has a dashed outline and no pointer. Black on white first: nothing is
said by colour or shade, so that a photocopy still works. The words stand outside.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from django.utils.safestring import SafeString

from gear.audio.dial import Dial, Mark
from gear.panels.models import Control, Kind
from gear.panels.reading import read_control
from gear.panels.strokes import Drawing, Stroke, as_svg, print_drawing, ring

SIDE = 64
CENTRE = SIDE / 2
_RING = 19
_TICK_ENDS = 30
TRACK = 52  # length of a slider's track and a meter's scale
START = (SIDE - TRACK) / 2


@dataclass(frozen=True)
class Pointer:
    """What says the setting: path data where the angle is 0, and the SVG transform that moves it by
    `step` for each degree (of a slider, per cent of travel; of a switch, position)."""

    path: str
    width: float
    transform: str
    step: float

    def at(self, angle: float | None) -> Stroke:
        if angle is None:
            return Stroke("", self.width)
        return Stroke(self.path, self.width, move=self.transform.format(f"{angle * self.step:.2f}"))


#: Where the words of a mark stand (x, y, text-anchor), by its number and the mark.
Beside = Callable[[int, Mark], tuple[float, float, str]]


@dataclass(frozen=True)
class Parts:
    """Path data on a square of 64: the body, the engraved marks, and the pointer."""

    body: str
    marks: str
    pointer: Pointer
    beside: Beside


def drawing_of(control: Control, value: float | None) -> Drawing:
    """The control at a value in its unit, None where it was not logged; its title says the setting."""
    reading = read_control(control, value)
    parts = parts_of(control)
    if reading.logged:
        strokes = (Stroke(parts.body + parts.marks), parts.pointer.at(reading.angle))
    else:
        strokes = (Stroke(parts.body, dash=4), Stroke(parts.marks))
    return Drawing(reading.sentence, SIDE, SIDE, strokes)


def pointer_of(control: Control) -> Pointer:
    """How a script that turns the control is to draw it."""
    return parts_of(control).pointer


def draw_control(control: Control, value: float | None, *, size: int = 80) -> SafeString:
    """The control as SVG for a page; size is the side of its square in CSS pixels."""
    return as_svg(drawing_of(control, value), width=size, height=size)


def print_control(control: Control, value: float | None) -> SafeString:
    """The control as an image for paper."""
    return print_drawing(drawing_of(control, value))


def parts_of(control: Control) -> Parts:
    return _DRAWN.get(control.kind, _knob)(control.dial())


def _knob(dial: Dial) -> Parts:
    tick_starts = _RING if dial.kind == Kind.STEPPED else _RING + 5
    return Parts(
        body=ring(CENTRE, CENTRE, _RING),
        marks="".join(_spoke(mark.angle, tick_starts, _TICK_ENDS) for mark in dial.marks),
        pointer=Pointer(_spoke(0, 0, _RING + 1), 6, f"rotate({{}} {CENTRE:g} {CENTRE:g})", 1),
        beside=_around,
    )


def _switch(dial: Dial) -> Parts:
    count = len(dial.marks)
    room = min(18.0, SIDE / count)
    middles = [CENTRE + room * (number + 0.5 - count / 2) for number in range(count)]
    box = room - 4
    boxes = [middle - box / 2 for middle in middles]
    top = CENTRE - box / 2
    return Parts(
        body="".join(f"M{_at(x, top)}h{box:.1f}v{box:.1f}h{-box:.1f}z" for x in boxes),
        marks="",
        pointer=Pointer(
            f"M{_at(boxes[0], CENTRE)}h{box:.1f}", round(box, 1), "translate({} 0)", room
        ),
        # on two lines in turn, so that words have room
        beside=lambda number, mark: (middles[number], CENTRE + 20 + number % 2 * 11, "middle"),
    )


def _slider(dial: Dial) -> Parts:
    bottom, step = _height(0), -TRACK / 100
    return Parts(
        body=f"M{_at(CENTRE - 3, START)}h6v{TRACK}h-6z",
        marks="".join(f"M{_at(CENTRE + 12, _height(mark.angle))}h8" for mark in dial.marks),
        pointer=Pointer(f"M{_at(CENTRE - 10, bottom)}h20", 6, "translate(0 {})", step),
        beside=lambda number, mark: (CENTRE + 24, _height(mark.angle) + 3, "start"),
    )


def _meter(dial: Dial) -> Parts:
    line = CENTRE + 8
    place = _along(dial)
    step = place(1) - place(0)
    return Parts(
        body=f"M{_at(START, line)}h{TRACK}",
        marks="".join(f"M{_at(place(mark.angle), line)}v-10" for mark in dial.marks),
        pointer=Pointer(f"M{_at(place(0), line + 10)}v-24", 4, "translate({} 0)", step),
        beside=lambda number, mark: (place(mark.angle), CENTRE - 6 - number % 2 * 10, "middle"),
    )


def _height(travel: float) -> float:
    return SIDE - START - TRACK * travel / 100


def _along(dial: Dial) -> Callable[[float], float]:
    """Where on the meter's straight scale an angle of its arc comes to lie."""
    if not dial.marks:
        return lambda angle: CENTRE
    first, last = dial.marks[0].angle, dial.marks[-1].angle
    return lambda angle: START + TRACK * (angle - first) / (last - first)


def _spoke(angle: float, start: float, end: float) -> str:
    """A line outwards from the centre, at degrees clockwise from straight up."""
    x, y = _towards(angle)
    return (
        f"M{_at(CENTRE + start * x, CENTRE + start * y)}L{_at(CENTRE + end * x, CENTRE + end * y)}"
    )


def _around(number: int, mark: Mark) -> tuple[float, float, str]:
    x, y = _towards(mark.angle)
    anchor = "middle" if abs(x) < 0.35 else "start" if x > 0 else "end"
    reach = _TICK_ENDS + 4
    return CENTRE + reach * x, CENTRE + reach * y + 3, anchor


def _towards(angle: float) -> tuple[float, float]:
    return math.sin(math.radians(angle)), -math.cos(math.radians(angle))


def _at(x: float, y: float) -> str:
    return f"{x:.2f} {y:.2f}"


_DRAWN = {Kind.SWITCH: _switch, Kind.SLIDER: _slider, Kind.READING: _meter}
