"""Where along a chain its sound first departs: found by measuring up to the middle of what is left."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Halving:
    """By places in the row of points that can be measured up to, in signal order: the last that agrees before
    the first that departs (None: nothing before it does), that first one (None: none does), and
    the one to measure next (None: nothing is left to measure)."""

    agrees: int | None
    departs: int | None
    to_measure: int | None

    @property
    def is_found(self) -> bool:
        """Nothing can be measured between the two."""
        return self.departs is not None and self.to_measure is None


def halve(found: Sequence[bool | None]) -> Halving:
    """found: of each point whether it agrees with what it was, None where it was not measured.

    The whole chain is measured first. Of several that depart it is the first that is looked for: what
    comes after it departs by it, or makes up for it.
    """
    departs = next((place for place, agrees in enumerate(found) if agrees is False), None)
    before = found if departs is None else found[:departs]
    agrees = max((place for place, each in enumerate(before) if each), default=None)
    if departs is None:
        last = len(found) - 1
        return Halving(agrees, None, last if found and found[last] is None else None)
    first = 0 if agrees is None else agrees + 1
    return Halving(agrees, departs, (first + departs) // 2 if first < departs else None)
