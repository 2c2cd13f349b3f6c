"""Where a microphone stood, drawn from the side, and from above where its axis points to the left or
the right. Not to scale: the figures say how far."""

import math
from decimal import Decimal

from gear.audio.values import number_text
from gear.panels.strokes import Drawing, Stroke, Words, ring
from sessions.setups.models import Orientation, Placement, Towards

_WIDTH, _HEIGHT = 200, 72
_SOURCE, _CAPSULE, _FLOOR = (12, 36), (110, 36), 68
_ABOVE_SOURCE, _ABOVE_CAPSULE = (157, 29), (190, 29)
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
        *_axis(placement.angle_deg, placement.angle_towards),
        Stroke(dimension(source_x, x, 17) + _upright(130, sight, _FLOOR), _THIN),
    ]
    words = [
        Words(_figure(placement.distance_cm, "cm"), (source_x + x) / 2, 11),
        Words(_figure(placement.height_cm, "cm"), 135, 56, "start"),
    ]
    if placement.angle_deg is not None:
        words.append(Words(f"axis {_figure(placement.angle_deg, '°')}", 52, 32))
        if placement.angle_deg and placement.angle_towards:
            words.append(Words(placement.angle_towards.replace("_", ", "), 50, 48))
            if Towards(placement.angle_towards).across:
                words.append(Words("from above", 174, 9))
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


def _axis(degrees: Decimal | None, towards: str) -> list[Stroke]:
    """An arrow from the capsule towards where it looks: straight at the source at 0 degrees. Dashed to
    both sides where nobody logged to which it points."""
    if degrees is None:
        return []
    angle = math.radians(float(degrees))
    if not degrees:
        return [Stroke(_arrow(*_CAPSULE, 0), 2)]
    if not towards:
        return [Stroke(_arrow(*_CAPSULE, way), 2, 3) for way in (angle, -angle)]
    way = Towards(towards)
    share = math.sin(angle) / math.hypot(way.up, way.across)  # of the arrow, to each of two sides
    strokes = [Stroke(_arrow(*_CAPSULE, math.atan2(-way.up * share, math.cos(angle))), 2)]
    if way.across:
        # Whoever faces the source from the microphone looks to the left of the sheet: to the right is up.
        turn = math.atan2(-way.across * share, math.cos(angle))
        (source_x, y), (x, _) = _ABOVE_SOURCE, _ABOVE_CAPSULE
        strokes += [
            Stroke(ring(source_x, y, 5) + ring(x, y, 3), 2),
            Stroke(f"M{source_x + 5} {y}H{x - 3}", _THIN, 3),
            Stroke(_arrow(x, y, turn, start=3, length=18), 2),
        ]
    return strokes


def _arrow(x: float, y: float, angle: float, *, start: float = 5, length: float = 30) -> str:
    """Towards the left of the sheet at 0, then turning downwards, in radians."""
    back, down = math.cos(angle), math.sin(angle)
    tip_x, tip_y = x - length * back, y + length * down
    barbs = (
        (tip_x + 6 * math.cos(angle + turn), tip_y - 6 * math.sin(angle + turn))
        for turn in (-0.5, 0.5)
    )
    head = "".join(f"M{tip_x:.1f} {tip_y:.1f}L{to_x:.1f} {to_y:.1f}" for to_x, to_y in barbs)
    return f"M{x - start * back:.1f} {y + start * down:.1f}L{tip_x:.1f} {tip_y:.1f}{head}"


def dimension(left: float, right: float, y: float) -> str:
    """The line on which a distance stands."""
    return f"M{left} {y - 4}v8M{left} {y}H{right}M{right} {y - 4}v8"


def _upright(x: float, top: float, bottom: float) -> str:
    return f"M{x - 4} {top}h8M{x} {top}V{bottom}M{x - 4} {bottom}h8"


def _figure(value: Decimal | None, unit: str) -> str:
    return number_text(value, unit) if value is not None else _UNKNOWN
