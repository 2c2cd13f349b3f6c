"""Where a knob's pointer stands, said as the hour hand of a clock.

Angles are degrees clockwise from straight up: 12 o'clock is 0, 7 o'clock -150,
5 o'clock +150. An hour is 30 degrees, so a minute is half a degree.
"""

import re

DEGREES_PER_HOUR = 30
DEGREES_PER_MINUTE = 0.5
#: The eye reads a pointer no finer than this: five minutes, 2.5 degrees.
READING_STEP_MINUTES = 5

_FIGURES = re.compile(r"(\d{1,2}):(\d{2})(?: ?o ?clock)?")
_HOUR = re.compile(r"(\d{1,2}) ?o ?clock")
_WORDS = re.compile(r"(half|quarter|\d{1,2}) (past|to) (\d{1,2})(?: ?o ?clock)?")
_SPOKEN_MINUTES = {"quarter": 15, "half": 30}


def angle_of_clock(hour: int, minute: int = 0) -> float:
    """Degrees for a clock position, from -180 (6 o'clock) up to but not including 180.

    Afternoon hours mean the same place (13:30 is 1:30).
    Raises ValueError when this is no time on a clock.
    """
    if not (0 <= hour <= 23 and 0 <= minute <= 59):
        raise ValueError(
            f"{hour}:{minute:02d} is not a clock position. "
            "Write an hour and minutes, such as 1:30 or 13:30."
        )
    return _wrapped(hour * DEGREES_PER_HOUR + minute * DEGREES_PER_MINUTE)


def clock_of(angle: float) -> tuple[int, int]:
    """The hour (1 to 12) and minute nearest to an angle in degrees, to five minutes."""
    steps = round(angle / (DEGREES_PER_MINUTE * READING_STEP_MINUTES))
    hour, minute = divmod(steps * READING_STEP_MINUTES, 60)
    return hour % 12 or 12, minute


def clock_text(angle: float) -> str:
    """The clock position in figures, such as 1:30."""
    hour, minute = clock_of(angle)
    return f"{hour}:{minute:02d}"


def read_clock(text: str) -> float | None:
    """Degrees for a typed clock position, or None when the text is not one.

    Understood: 1:30, 13:30, 1 o'clock, half past 1, quarter to 2, 10 past 2.
    Raises ValueError for what looks like one and cannot be, such as 25:00.
    """
    said = " ".join(re.sub(r"['’]", " ", text.lower()).split())
    if match := _FIGURES.fullmatch(said):
        return angle_of_clock(int(match[1]), int(match[2]))
    if match := _HOUR.fullmatch(said):
        return angle_of_clock(int(match[1]))
    if match := _WORDS.fullmatch(said):
        return _angle_of_words(match[1], match[2], int(match[3]))
    return None


def _angle_of_words(amount: str, side: str, hour: int) -> float:
    minute = _SPOKEN_MINUTES.get(amount) or int(amount)
    if side == "past":
        return angle_of_clock(hour, minute)
    return _wrapped(angle_of_clock(hour) - angle_of_clock(0, minute))


def _wrapped(angle: float) -> float:
    return (angle + 180) % 360 - 180
