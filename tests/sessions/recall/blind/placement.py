"""Where a microphone stood, and how it stands to the others of its group, from the words of a chain."""

import re

NOT_SAID = ("not measured", "not logged")
GROUP = re.compile(
    r"In the (?:pair|group) (.+?)(?:, (left|right|mid|side|centre))?: (.+?)\s?\.(?: |$)"
)
NUMBER = re.compile(r"[+−]?\d+(?:\.\d+)?")


def placement_in(said: dict[str, str]) -> dict | None:
    """Of what the paper says behind "Placement:"; None where it says that nothing was logged."""
    if not said:
        return None
    pop_filter, points = said["pop filter"], re.search(r"its axis points (.+)", said["angle"])
    return {
        **{name: _number(said[name]) for name in ("distance", "height", "angle")},
        **{name: _word(said[name]) for name in ("orientation", "pattern", "stand", "cable")},
        "axis": points[1] if points else "",
        "pop filter": (pop_filter != "none", _number(pop_filter)),
        "position": _position(said.get("position", "")),
    }


def group_in(head: str) -> tuple | None:
    found = GROUP.search(head)
    if not found:
        return None
    name, seat, arranged = found.groups()
    kind, *figures = arranged.split(", ")
    apart = [_number(words) for words in figures if words.endswith("cm apart")]
    angle = [_number(words) for words in figures if "between" in words]
    return name, seat or "", kind, *(each[0] if each else None for each in (apart, angle))


def _position(words: str) -> tuple[float | None, float | None]:
    """To the right and in front of its middle; to the left and behind are below zero."""
    across = re.search(r"([\d.]+) cm to the (right|left)", words)
    along = re.search(r"([\d.]+) cm (in front|behind)", words)
    return tuple(
        float(found[1]) * (1 if found[2] in ("right", "in front") else -1) if found else None
        for found in (across, along)
    )


def _number(words: str) -> float | None:
    found = NUMBER.search(words)
    return float(found[0].replace("−", "-")) if found else None


def _word(words: str) -> str:
    return "" if words in NOT_SAID else words.removesuffix(" (not a known pattern)")
