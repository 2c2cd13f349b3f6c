"""What a patch bay's normal lets through, by which front jacks have a plug in them.

The upper row carries sources, the lower row inputs. A plug in a half-normalled upper
jack taps the source without breaking the link.
"""

from enum import StrEnum


class Normal(StrEnum):
    """How the two jacks of a pair are linked when nothing is plugged in."""

    FULL = "full"
    HALF = "half"
    PARALLEL = "parallel"
    OPEN = "open"


class Signal(StrEnum):
    """What reaches the lower jack's return: the input it is wired to."""

    UPPER_SOURCE = "upper source"
    PATCHED = "patched"
    JOINED = "joined"
    NOTHING = "nothing"


def signal_at_return(normal: Normal | str, upper_plugged: bool, lower_plugged: bool) -> Signal:
    """What the input behind the lower jack hears.

    JOINED is a fault to avoid: in a parallel pair the upper source and the cord in the
    lower jack meet on one wire, and two outputs drive each other. The cord in the upper
    jack of a parallel pair is taken to lead the source away, as at any upper jack.
    Raises ValueError for an unknown normal.
    """
    normal = Normal(normal)
    if normal is Normal.PARALLEL:
        return Signal.JOINED if lower_plugged else Signal.UPPER_SOURCE
    if lower_plugged:
        return Signal.PATCHED
    if normal is Normal.HALF or (normal is Normal.FULL and not upper_plugged):
        return Signal.UPPER_SOURCE
    return Signal.NOTHING
