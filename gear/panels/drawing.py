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

from gear.audio.dial import Dial
from gear.panels.models import Control, Kind
from gear.panels.reading import read_control
from gear.panels.strokes import Drawing, Stroke, as_svg, print_drawing, ring

SIDE = 64
CENTRE = SIDE / 2
_RING = 19
TICK_ENDS = 30
TRACK = 52  # length of a slider's track and a meter's scale
START = (SIDE - TRACK) / 2


@dataclass(frozen=True)
class _Parts:
    """Path data on a square of 64: the body, the engraved marks, and the setting with its width."""

    body: str
    marks: str
    pointer: str
    pointer_width: float = 6


def drawing_of(control: Control, value: float | None) -> Drawing:
    """The control at a value in its unit, None where it was not logged; its title says the setting."""
    reading = read_control(control, value)
    parts = _DRAWN.get(control.kind, _knob)(control.dial(), reading.angle)
    if reading.logged:
        strokes = (
            Stroke(parts.body + parts.marks),
            Stroke(parts.pointer, parts.pointer_width),
        )
    else:
        strokes = (Stroke(parts.body, dash=4), Stroke(parts.marks))
    return Drawing(reading.sentence, SIDE, SIDE, strokes)


def draw_control(control: Control, value: float | None, *, size: int = 80) -> SafeString:
    """The control as SVG for a page; size is the side of its square in CSS pixels."""
    return as_svg(drawing_of(control, value), width=size, height=size)


def print_control(control: Control, value: float | None) -> SafeString:
    """The control as an image for paper."""
    return print_drawing(drawing_of(control, value))


def _knob(dial: Dial, angle: float | None) -> _Parts:
    tick_starts = _RING if dial.kind == Kind.STEPPED else _RING + 5
    return _Parts(
        body=ring(CENTRE, CENTRE, _RING),
        marks="".join(_spoke(mark.angle, tick_starts, TICK_ENDS) for mark in dial.marks),
        pointer="" if angle is None else _spoke(angle, 0, _RING + 1),
    )


def _switch(dial: Dial, angle: float | None) -> _Parts:
    room = min(18.0, SIDE / len(dial.marks))  # for each position, from left to right
    box = room - 4
    left = CENTRE - room * len(dial.marks) / 2
    boxes = [left + room * number + 2 for number in range(len(dial.marks))]
    filled = [x for x, mark in zip(boxes, dial.marks, strict=True) if mark.angle == angle]
    top = CENTRE - box / 2
    return _Parts(
        body="".join(f"M{_at(x, top)}h{box:.1f}v{box:.1f}h{-box:.1f}z" for x in boxes),
        marks="",
        pointer="".join(f"M{_at(x, CENTRE)}h{box:.1f}" for x in filled),
        pointer_width=round(box, 1),
    )


def _slider(dial: Dial, angle: float | None) -> _Parts:
    def height(travel: float) -> float:
        return SIDE - START - TRACK * travel / 100

    return _Parts(
        body=f"M{_at(CENTRE - 3, START)}h6v{TRACK}h-6z",
        marks="".join(f"M{_at(CENTRE + 12, height(mark.angle))}h8" for mark in dial.marks),
        pointer="" if angle is None else f"M{_at(CENTRE - 10, height(angle))}h20",
    )


def _meter(dial: Dial, angle: float | None) -> _Parts:
    line = CENTRE + 8
    place = along(dial)
    return _Parts(
        body=f"M{_at(START, line)}h{TRACK}",
        marks="".join(f"M{_at(place(mark.angle), line)}v-10" for mark in dial.marks),
        pointer="" if angle is None else f"M{_at(place(angle), line + 10)}v-24",
        pointer_width=4,
    )


def along(dial: Dial) -> Callable[[float], float]:
    """Where on the meter's straight scale an angle of its arc comes to lie."""
    if not dial.marks:
        return lambda angle: CENTRE
    first, last = dial.marks[0].angle, dial.marks[-1].angle
    return lambda angle: START + TRACK * (angle - first) / (last - first)


def _spoke(angle: float, start: float, end: float) -> str:
    """A line outwards from the centre, at degrees clockwise from straight up."""
    x, y = math.sin(math.radians(angle)), -math.cos(math.radians(angle))
    return (
        f"M{_at(CENTRE + start * x, CENTRE + start * y)}L{_at(CENTRE + end * x, CENTRE + end * y)}"
    )


def _at(x: float, y: float) -> str:
    return f"{x:.2f} {y:.2f}"


_DRAWN = {Kind.SWITCH: _switch, Kind.SLIDER: _slider, Kind.READING: _meter}
