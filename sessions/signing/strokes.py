"""The lines of a drawn signature: whole numbers on a pad of our own, and nothing else.

A browser sends points, never a picture or a drawing: there is nothing to decode, and what is shown
is a path that we write from numbers that were checked. No Django here.
"""

import json
from collections.abc import Iterable
from itertools import pairwise
from math import dist

WIDTH, HEIGHT = 1200, 400  # of the pad, in its own units; the page says how large it is shown
MOST_LINES = 200
MOST_POINTS = 6000
LONGEST_TEXT = 80_000  # signs; so many points take no more
SHORTEST = 100  # units of ink in all: less is a slip of the finger

Lines = list[list[int]]  # each x, y, x, y … from where the pen came down to where it was lifted


class NotDrawn(ValueError):
    """What was sent is no signature; the message says what to do."""


def lines_of(text: str) -> Lines:
    """The lines that a page sent, checked; none for an empty text. Raises NotDrawn."""
    if not text.strip():
        return []
    try:
        lines = json.loads(text) if len(text) <= LONGEST_TEXT else None
    except (ValueError, RecursionError):
        lines = None
    if lines == []:
        return []
    if not (isinstance(lines, list) and len(lines) <= MOST_LINES and all(map(_is_line, lines))):
        raise NotDrawn("This signature can’t be read: clear it and draw it again.")
    if sum(map(len, lines)) > 2 * MOST_POINTS:
        raise NotDrawn("This drawing is too long for a signature: clear it and draw it again.")
    if ink(lines) < SHORTEST:
        raise NotDrawn("This is only a dot: clear it and draw the signature.")
    return lines


def _is_line(line) -> bool:
    return (
        isinstance(line, list)
        and len(line) >= 2
        and len(line) % 2 == 0
        and all(type(number) is int for number in line)
        and all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in points(line))
    )


def points(line: list[int]) -> list[tuple[int, int]]:
    return list(zip(line[::2], line[1::2], strict=True))


def ink(lines: Iterable[list[int]]) -> float:
    """How long all lines are together, in units of the pad."""
    return sum(dist(one, next_one) for line in lines for one, next_one in pairwise(points(line)))


def path(lines: Iterable[list[int]]) -> str:
    """The `d` of an SVG path; a line of one point is a dot, which a round pen shows."""
    return "".join(_path_of(points(line)) for line in lines)


def _path_of(line: list[tuple[int, int]]) -> str:
    (x, y), *others = line
    return f"M{x} {y}" + ("".join(f"L{x} {y}" for x, y in others) or "h.1")
