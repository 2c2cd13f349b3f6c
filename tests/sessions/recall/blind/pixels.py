"""Controls read off the dots of a page, as a photocopy has them: black or white, 150 to an inch. In the
drawing left of a control's name: a knob is a ring in which a thick pointer stands, a switch a row of
boxes with one filled, a fader a track with a thumb, a meter a scale with a needle through it."""

from dataclasses import dataclass

import numpy as np
import pymupdf
from scipy import ndimage

DOTS_PER_INCH = 150
DOTS = DOTS_PER_INCH / 72  # to a point
#: Points round a cell's words within which its drawing stands.
LEFT, RIGHT, ABOVE, BELOW = 27, 1, 2, 26
RADII = np.arange(9, 19)  # dots
ROUND = np.radians(np.arange(0, 360, 6))
SOLID = 0.93  # of a ring's dots


def pages_of(pdf: bytes, *, dots_per_inch: int = DOTS_PER_INCH) -> list[np.ndarray]:
    """True is black."""
    with pymupdf.open(stream=pdf) as document:
        pictures = [
            page.get_pixmap(dpi=dots_per_inch, colorspace=pymupdf.csGRAY) for page in document
        ]
    return [
        np.frombuffer(each.samples, np.uint8).reshape(each.height, each.stride)[:, : each.width]
        < 128
        for each in pictures
    ]


def drawing_at(page: np.ndarray, left: float, top: float) -> np.ndarray:
    """Beside words that begin at this point."""
    edges = (top - ABOVE, top + BELOW, left - LEFT, left - RIGHT)
    first, last, start, end = (round(edge * DOTS) for edge in edges)
    return page[max(first, 0) : last, max(start, 0) : end]


@dataclass(frozen=True)
class Ring:
    x: float
    y: float
    radius: float


def ring_in(dots: np.ndarray) -> Ring | None:
    """The smallest solid ring; None where there is none, or only a dashed one."""
    thick = ndimage.binary_dilation(dots, np.ones((2, 2)))
    height, width = dots.shape
    for radius in RADII:
        if 2 * radius >= min(height, width):
            break
        inked = np.zeros((height - 2 * radius, width - 2 * radius))
        for turn in ROUND:
            dy, dx = round(radius * np.sin(turn)), round(radius * np.cos(turn))
            inked += thick[radius + dy : height - radius + dy, radius + dx : width - radius + dx]
        inked /= len(ROUND)
        if inked.max() >= SOLID:
            y, x = np.argwhere(inked == inked.max()).mean(axis=0)
            return Ring(x + radius, y + radius, float(radius))
    return None


def pointer_in(dots: np.ndarray) -> float | None:
    """Degrees clockwise from straight up; None where no ring has a pointer."""
    ring = ring_in(dots)
    if ring is None:
        return None
    y, x = np.nonzero(dots)
    x, y = x - ring.x, y - ring.y
    inside = np.hypot(x, y) < 0.8 * ring.radius
    if inside.sum() < 2 * ring.radius:
        return None
    x, y = x[inside], y[inside]
    _, axes = np.linalg.eigh(np.cov(x, y))  # the pointer lies along the longer
    along_x, along_y = axes[:, 1] * np.sign(axes[:, 1] @ (x.sum(), y.sum()))
    return float(np.degrees(np.arctan2(along_x, -along_y)))


def box_filled(dots: np.ndarray) -> tuple[int, int] | None:
    """Which of how many boxes, counted from 0; None where none is filled."""
    parts, _ = ndimage.label(dots, np.ones((3, 3)))
    boxes = [
        (across.start, dots[down, across].mean())
        for down, across in ndimage.find_objects(parts)
        if down.stop - down.start >= 5 and across.stop - across.start >= 4
    ]
    boxes.sort()
    filled = [place for place, (_, ink) in enumerate(boxes) if ink > 0.9]
    return (filled[0], len(boxes)) if len(filled) == 1 else None


def travel_in(dots: np.ndarray) -> float | None:
    """How far up its track a thumb stands, in per cent: the dots of the track are the longest upright
    run, those of the thumb the widest rows across it."""
    parts, _ = ndimage.label(dots, np.ones((3, 3)))
    found = ndimage.find_objects(parts)
    if not found:
        return None
    down, across = max(found, key=lambda box: box[0].stop - box[0].start)
    fader = dots[down, across]
    rows = fader.sum(axis=1)
    thumb = np.flatnonzero(rows >= 0.9 * fader.shape[1])
    if fader.shape[0] < 30 or not len(thumb):
        return None
    track = [row for row in range(len(rows)) if rows[row] <= 0.6 * fader.shape[1]]
    first, last = (0, len(rows) - 1) if track else (thumb[0], thumb[-1])
    return float(100 * (last - thumb.mean()) / (last - first))


def needle_in(dots: np.ndarray) -> float | None:
    """How far along the scale a needle stands, in per cent from its first mark to its last: the scale is
    the longest line across, the needle the only one that goes through it."""
    rows = dots.sum(axis=1)
    line = int(rows.argmax())
    below = dots[line + 3 : line + 8].all(axis=0)
    if not below.any():
        return None
    first, last = np.flatnonzero(dots[line])[[0, -1]]
    return float(100 * (np.flatnonzero(below).mean() - first) / (last - first))
