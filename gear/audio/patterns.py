"""Directional patterns of the first order: r = A + B cos(angle), with A + B = 1.

The textbook's patterns; a real capsule keeps to them in the middle of its range only.
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Pattern:
    """What a microphone hears from around it. pressure is A, gradient is B."""

    name: str
    pressure: float

    @property
    def gradient(self) -> float:
        return 1 - self.pressure

    def gain_db(self, angle_deg: float) -> float:
        """Level from an angle against that from straight on, in dB; -inf in a null."""
        heard = abs(self.pressure + self.gradient * math.cos(math.radians(angle_deg)))
        return 20 * math.log10(heard) if heard > 1e-12 else -math.inf


OMNI = Pattern("omnidirectional", 1.0)
WIDE = Pattern("wide cardioid", 0.7)
CARDIOID = Pattern("cardioid", 0.5)
SUPER = Pattern("supercardioid", 0.37)
HYPER = Pattern("hypercardioid", 0.25)
EIGHT = Pattern("figure-of-eight", 0.0)
#: The word to look for, the longer ones first.
_WORDS = (
    ("supercardioid", SUPER),
    ("hypercardioid", HYPER),
    ("hyper", HYPER),
    ("super", SUPER),
    ("subcardioid", WIDE),
    ("wide", WIDE),
    ("cardioid", CARDIOID),
    ("omni", OMNI),
    ("eight", EIGHT),
    ("bidirectional", EIGHT),
)


def pattern_named(words: str) -> Pattern | None:
    """The pattern that a placement's words name, None where they name none."""
    said = words.casefold()
    return next((pattern for word, pattern in _WORDS if word in said), None)
