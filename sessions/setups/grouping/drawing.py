"""A pair or a group from above. A pair is not to scale: the figures say how far; a group is, by what
was measured from its middle."""

import math
from collections.abc import Iterable

from gear.audio.values import number_text
from gear.panels.strokes import Drawing, Stroke, Words, ring
from sessions.setups.models import Arrangement, GroupFacts, Revision
from sessions.setups.placement.drawing import dimension

_WIDTH, _HEIGHT = 200, 72
_MIDDLE, _ARM = (100, 46), 28
_APART = {Arrangement.SPACED: 55, Arrangement.NEAR_COINCIDENT: 12}
#: What is drawn where nobody measured the angle: an angle that such a pair may have.
_USUAL_ANGLE = {Arrangement.SPACED: 0}
_ROOM = 60  # half the width that a group's stands may take
_LETTERS = 22  # of a source's name


def pair_drawing(facts: GroupFacts) -> Drawing:
    """Two capsules with their axes, towards the source above."""
    x, y = _MIDDLE
    if facts.arrangement == Arrangement.MID_SIDE:
        strokes = [
            Stroke(_arrow(x, y, 0), 2),
            Stroke(_arrow(x, y, -90) + _arrow(x, y, 90), 2, 3),
            Stroke(ring(x, y, 5), 2.5),
        ]
        words = [Words("mid", x + 8, y - _ARM + 6, "start"), Words("side", x + _ARM, y + 18)]
        return Drawing(str(facts), _WIDTH, _HEIGHT, tuple(strokes), tuple(words), letter_size=10)
    apart = _APART.get(facts.arrangement, 0)
    angle = facts.included_angle_deg
    half = (_USUAL_ANGLE.get(facts.arrangement, 90) if angle is None else angle) / 2
    strokes = [
        Stroke(ring(x - apart, y, 5) + ring(x + apart, y, 5), 2.5),
        Stroke(_arrow(x - apart, y, -half) + _arrow(x + apart, y, half), 2),
    ]
    words = [
        Words("left", x - apart - 9, y + 15, "end"),
        Words("right", x + apart + 9, y + 15, "start"),
    ]
    if facts.spacing_cm is not None:
        if apart:
            strokes.append(Stroke(dimension(x - apart, x + apart, y + 11), 1))
        words.append(Words(number_text(facts.spacing_cm, "cm"), x, y + 24))
    if angle is not None:
        words.append(Words(number_text(angle, "°"), x, 10))
    return Drawing(str(facts), _WIDTH, _HEIGHT, tuple(strokes), tuple(words), letter_size=10)


def group_drawing(name: str, revisions: Iterable[Revision]) -> Drawing | None:
    """Where each stands, from above; None where nobody measured that."""
    stands = [
        (revision.source_facts.name, float(placed.across_cm), float(placed.along_cm))
        for revision in revisions
        if (placed := getattr(revision, "placement", None))
        and None not in (placed.across_cm, placed.along_cm)
    ]
    if not stands:
        return None
    farthest = max(max(abs(across), abs(along)) for _, across, along in stands) or 1
    scale = _ROOM / farthest
    middle = 18 + max(0, *(along for *_, along in stands)) * scale  # from the top of the drawing
    height = middle + 10 + max(0, *(-along for *_, along in stands)) * scale
    strokes = [Stroke(f"M100 {middle - 6:.1f}v12M94 {middle:.1f}h12", 1)]
    words = []
    for source, across, along in stands:
        x, y = 100 + across * scale, middle - along * scale
        strokes.append(Stroke(ring(x, y, 4), 2))
        words.append(_beside(source, x, y - 7))
    said = "; ".join(
        f"{source}: {_way(across, 'right', 'left')}, {_way(along, 'in front', 'behind')}"
        for source, across, along in stands
    )
    title = f"{name} from above, the cross is its middle. {said}"
    return Drawing(title, _WIDTH, round(height), tuple(strokes), tuple(words), letter_size=9)


def _beside(name: str, x: float, y: float) -> Words:
    """Over its stand, or within the drawing's edges beside it; the title has all of a long name."""
    short = name if len(name) <= _LETTERS else f"{name[: _LETTERS - 1].rstrip()}…"
    half = len(short) * 2.9  # a letter is 5.8 wide at most, on average
    if x - half < 0:
        return Words(short, 0, y, "start")
    return Words(short, _WIDTH, y, "end") if x + half > _WIDTH else Words(short, x, y)


def _arrow(x: float, y: float, degrees: float) -> str:
    """From the capsule towards where it looks: up the sheet at 0 degrees, clockwise."""
    turn = math.radians(degrees)
    tip = x + _ARM * math.sin(turn), y - _ARM * math.cos(turn)
    path = f"M{x + 5 * math.sin(turn):.1f} {y - 5 * math.cos(turn):.1f}L{tip[0]:.1f} {tip[1]:.1f}"
    for barb in (150, -150):
        way = turn + math.radians(barb)
        path += (
            f"M{tip[0]:.1f} {tip[1]:.1f}"
            f"L{tip[0] + 6 * math.sin(way):.1f} {tip[1] - 6 * math.cos(way):.1f}"
        )
    return path


def _way(cm: float, ahead: str, back: str) -> str:
    return f"{number_text(abs(cm), 'cm')} {ahead if cm >= 0 else back}"
