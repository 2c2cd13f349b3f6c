"""Where a microphone stood, drawn from the side. Not to scale: the figures say how far."""

import math
from decimal import Decimal

from gear.audio.values import number_text
from gear.panels.strokes import Drawing, Stroke, Words, ring
from sessions.setups.models import Orientation, Placement

_WIDTH, _HEIGHT = 200, 72
_SOURCE, _CAPSULE, _FLOOR = (12, 36), (110, 36), 68
_THIN, _THICK, _BODY = 1, 2.5, 18
_UNKNOWN = "not measured"


def placement_drawing(placement: Placement, title: str) -> Drawing:
    """The source, the microphone with its axis, and a figure at each distance; title says it all."""
    (source_x, sight), (x, _) = _SOURCE, _CAPSULE
    strokes = [
        Stroke(ring(source_x, sight, 9), _THICK),
        Stroke(ring(x, sight, 5), _THICK),
        Stroke(_microphone(placement.orientation), _THICK),
        Stroke(f"M2 {_FLOOR}H{_WIDTH - 2}", _THICK),
        Stroke(f"M{source_x + 9} {sight}H{x - 5}", _THIN, 4),
        Stroke(_axis(placement.angle_deg), 2),
        Stroke(dimension(source_x, x, 17) + _upright(130, sight, _FLOOR), _THIN),
    ]
    words = [
        Words(_figure(placement.distance_cm, "cm"), (source_x + x) / 2, 11),
        Words(_figure(placement.height_cm, "cm"), 135, 56, "start"),
    ]
    if placement.angle_deg is not None:
        words.append(Words(f"axis {_figure(placement.angle_deg, '°')}", 52, 32))
    if placement.pop_filter:
        strokes.append(Stroke("M92 24V48", 2, 3))
        words.append(Words(f"pop filter {_figure(placement.pop_filter_cm, 'cm')}", 4, 60, "start"))
    return Drawing(title, _WIDTH, _HEIGHT, tuple(strokes), tuple(words), letter_size=10)


def _microphone(orientation: str) -> str:
    """Its body: under the capsule, over it if it hangs, behind it if it lies on its side."""
    x, y = _CAPSULE
    if orientation == Orientation.HUNG:
        return f"M{x - 5} {y - 5}v{-_BODY}h10v{_BODY}"
    if orientation == Orientation.SIDEWAYS:
        return f"M{x + 5} {y - 5}h{_BODY}v10h{-_BODY}"
    return f"M{x - 5} {y + 5}v{_BODY}h10v{-_BODY}"


def _axis(degrees: Decimal | None) -> str:
    """An arrow from the capsule towards where it looks: straight at the source at 0 degrees."""
    if degrees is None:
        return ""
    angle = math.radians(float(degrees))
    (x, y), back, down = _CAPSULE, math.cos(angle), math.sin(angle)
    tip_x, tip_y = x - 30 * back, y + 30 * down
    barbs = (
        (tip_x + 6 * math.cos(angle + turn), tip_y - 6 * math.sin(angle + turn))
        for turn in (-0.5, 0.5)
    )
    head = "".join(f"M{tip_x:.1f} {tip_y:.1f}L{to_x:.1f} {to_y:.1f}" for to_x, to_y in barbs)
    return f"M{x - 5 * back:.1f} {y + 5 * down:.1f}L{tip_x:.1f} {tip_y:.1f}{head}"


def dimension(left: float, right: float, y: float) -> str:
    """The line on which a distance stands."""
    return f"M{left} {y - 4}v8M{left} {y}H{right}M{right} {y - 4}v8"


def _upright(x: float, top: float, bottom: float) -> str:
    return f"M{x - 4} {top}h8M{x} {top}V{bottom}M{x - 4} {bottom}h8"


def _figure(value: Decimal | None, unit: str) -> str:
    return number_text(value, unit) if value is not None else _UNKNOWN
