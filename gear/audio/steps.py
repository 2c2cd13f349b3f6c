"""One step of a control up or down, as an engineer says it: a dB more, the next mark."""

import math
from collections.abc import Callable

from gear.audio.dial import DETENTED, Dial

#: So many steps at least lie between two engraved marks. Common practice, no source.
BETWEEN_MARKS = 10


def step_from(dial: Dial, value: float, way: int) -> float | None:
    """The value one step higher (`way` 1) or lower (-1), None past the last mark.

    From position to position of a stepped control or a switch, from mark to mark on a log scale,
    else by the largest of 1, 2 or 5 (times a power of ten) of which 10 fit between two marks.
    """
    values = sorted(mark.value for mark in dial.marks)
    marks = [each for each in values if (each - value) * way > 0]
    if not marks:
        return None
    following = min(marks, key=lambda each: abs(each - value))
    if dial.kind in DETENTED or dial.scale == "log":
        return following
    behind = [each for each in values if (each - value) * way <= 0]
    if not behind:
        return following
    gap = min(abs(following - each) for each in behind)
    size = _round_size(gap / BETWEEN_MARKS)
    towards: Callable[[float], int] = math.floor if way > 0 else math.ceil
    # What a hair of rounding lies beside a step counts as on it.
    count = towards(value / size + way * 1e-9) + way
    stepped = round(count * size, 10)
    return following if (stepped - following) * way > 0 else stepped


def _round_size(most: float) -> float:
    power: float = 10.0 ** math.floor(math.log10(most) + 1e-9)
    return max(times * power for times in (1, 2, 5) if times * power <= most * (1 + 1e-9))
