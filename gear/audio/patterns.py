"""Directional patterns: those of the first order, r = A + B cos(angle) with A + B = 1, and two others.

The textbook's patterns; a real capsule keeps to them in the middle of its range only.
"""

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True)
class Pattern:
    """What a microphone hears from around it. pressure is A, gradient is B; a pattern that is not of
    the first order has neither, and what it hears from its sides is not reckoned.

    spellings are other ways to write the name, as `_plain` has them.
    """

    name: str
    pressure: float | None
    spellings: tuple[str, ...] = ()

    def gain_db(self, angle_deg: float) -> float | None:
        """Level from an angle against that from straight on, in dB; -inf in a null; None where it
        is not reckoned."""
        if self.pressure is None:
            return None
        gradient = 1 - self.pressure
        heard = abs(self.pressure + gradient * math.cos(math.radians(angle_deg)))
        return 20 * math.log10(heard) if heard > 1e-12 else -math.inf


OMNI = Pattern("Omnidirectional", 1.0, ("omni", "omni directional"))
WIDE = Pattern(
    "Wide cardioid",
    0.7,
    (
        *("wide", "widecardioid", "wide card", "sub", "sub cardioid", "sub card", "subcardioid"),
        *("hypocardioid", "infracardioid"),
    ),
)
CARDIOID = Pattern("Cardioid", 0.5, ("card",))
SUPER = Pattern("Supercardioid", 0.37, ("super", "super cardioid", "super card", "supercard"))
HYPER = Pattern("Hypercardioid", 0.25, ("hyper", "hyper cardioid", "hyper card", "hypercard"))
EIGHT = Pattern(
    "Figure-of-eight",
    0.0,
    ("8", "eight", "f8", "fo8", "bi", "bidirectional", "bi directional")
    + tuple(
        f"{figure} {eight}"
        for figure in ("fig", "figure", "fig of", "figure of")
        for eight in ("8", "eight")
    ),
)
LOBAR = Pattern("Lobar", None, ("shotgun", "lobe", "interference tube"))
BOUNDARY = Pattern(
    "Hemispherical", None, ("boundary", "half space", "half omni", "half omnidirectional")
)

#: In the order in which forms offer them.
PATTERNS = (OMNI, WIDE, CARDIOID, SUPER, HYPER, EIGHT, LOBAR, BOUNDARY)
#: What may stand beside a name without changing it.
_FILLERS = {"pattern", "polar", "directivity", "characteristic", "mic", "microphone"}
#: Behind the first of these stands a remark: “cardioid, switch 3”, “omni (rear screw)”.
_REMARK = re.compile(r"[,;(]")
#: A name of at least so many letters is understood with one of them missing or doubled; the next
#: nearest pair of names (omnidirectional, unidirectional) is as alike as 0.90.
_LONG = 7
_CLOSE = 0.92


def pattern_named(words: str) -> Pattern | None:
    """The pattern that is written, None where none is, or none that is known.

    Case, hyphens, stops, and one wrong letter of a long name make no difference; what stands behind
    a comma or in brackets is a remark.
    """
    said = _plain(_REMARK.split(words, maxsplit=1)[0])
    if found := _SPELLINGS.get(said):
        return found
    close = get_close_matches(said, _LONG_ONES, 1, _CLOSE) if len(said) >= _LONG else []
    return _SPELLINGS[close[0]] if close else None


def is_unknown_pattern(words: str) -> bool:
    """Whether something is written that names no pattern of the list."""
    return bool(words.strip()) and pattern_named(words) is None


def pattern_choices() -> str:
    """The list, as a sentence has it."""
    *others, last = (pattern.name.lower() for pattern in PATTERNS)
    return f"{', '.join(others)} or {last}"


def _plain(words: str) -> str:
    """Letters and figures in lower case, parted by one space, without words that say nothing."""
    said = re.findall(r"[^\W\d_]+|\d+", re.sub("[’']", "", words.casefold()))
    return " ".join(word for word in said if word not in _FILLERS)


_SPELLINGS = {
    _plain(spelling): pattern
    for pattern in PATTERNS
    for spelling in (pattern.name, *pattern.spellings)
}
_LONG_ONES = [spelling for spelling in _SPELLINGS if len(spelling) >= _LONG]
