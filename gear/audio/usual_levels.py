"""Where a level plan starts when nothing was measured yet.

Common practice, no source: rounded loudest levels of singers and players, which differ widely. A
sound level meter at the microphone's place goes before any of them.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class UsualSource:
    """A source heard from distance_cm, at its usual loudest, in dB SPL."""

    name: str
    spl_db: int
    distance_cm: int


@dataclass(frozen=True)
class UsualLine:
    """A source that comes in by cable, at its usual loudest, in dBu."""

    name: str
    dbu: int


USUAL_SOURCES = (
    UsualSource("spoken voice", 75, 30),
    UsualSource("singing, soft", 80, 30),
    UsualSource("singing, full", 100, 30),
    UsualSource("singing, shouted", 110, 20),
    UsualSource("group of singers", 95, 100),
    UsualSource("plucked strings", 85, 30),
    UsualSource("bowed strings", 90, 60),
    UsualSource("concertina or accordion", 95, 50),
    UsualSource("woodwind", 95, 50),
    UsualSource("brass, from the bell", 115, 50),
    UsualSource("piano, lid open", 95, 50),
    UsualSource("drum, close", 130, 5),
    UsualSource("instrument loudspeaker, close", 115, 10),
)
USUAL_LINES = (
    UsualLine("passive pick-up", -20),
    UsualLine("active pick-up", -10),
    UsualLine("electronic keyboard", 0),
    UsualLine("player or returned track, professional", 4),
)
