"""Attack and release: what a static curve doesn't show, told by how fast the gain follows a burst."""

import math
from collections.abc import Iterator

from gear.audio.proving.explaining.model import Dynamics, Knob, Model
from gear.audio.proving.result import Result

#: Two measurements of one setting are apart by less than this factor. Of an attack they are sure to 15 %
#: each, from 1 to 50 ms; of a release to 5 %.
_APART = {"attack": 1.4, "release": 1.25}
_SURE_MS = {"attack": (1.0, 50.0), "release": (5.0, 5000.0)}
#: All frequencies say the same factor within this one.
_AGREE = 1.3


def mistimed(model: Model, then: Result, now: Result) -> Iterator[tuple[Knob, float]]:
    """Knobs of a chain's only compressor that act off, and how far, in their coordinate."""
    found = [part for part in model.parts if isinstance(part, Dynamics)]
    if len(found) != 1:
        return
    for name, knob in (("attack", found[0].attack), ("release", found[0].release)):
        offs = _offs(name, then, now)
        if knob is None or not offs or max(offs) - min(offs) > math.log(_AGREE):
            continue
        off = sum(offs) / len(offs)
        if abs(off) > math.log(_APART[name]):
            yield knob, off


def _offs(name: str, then: Result, now: Result) -> list[float]:
    """By frequency, the logarithm of how much longer it takes now."""
    low, high = _SURE_MS[name]
    before, after = (
        {each.hertz: getattr(each, f"{name}_ms") for each in result.timings}
        for result in (then, now)
    )
    both = [(was, after.get(hertz)) for hertz, was in before.items()]
    return [
        math.log(is_now / was)
        for was, is_now in both
        if was and is_now and low <= was <= high and low <= is_now <= high
    ]
