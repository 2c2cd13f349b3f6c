"""The form in which a row of a bay is typed, one line a point.

    1; Preamp 1 out; QS-0012; Line out
    2; Room 1 box 1 line 2; Room 1 / Box 1 / 2; ; microphone
    3; Mult 1 copy; mult 1

Column, label, what is wired behind it (the tag of a unit, for one of its channels QS-0012/3, room / box / line of a tie line, or the
mult whose jacks are joined with it), the unit's socket, and, where they differ from the rest of the row, level and side. A line that
does not start with a number stands one column after the line before. Tabs part as semicolons do.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from gear.equipment.models import SignalLevel
from gear.patchbay.models import PatchPoint, Side

EXAMPLE = "1; Preamp 1 out; QS-0012; Line out"
LABEL_LENGTH = PatchPoint._meta.get_field("label").max_length
SOCKET_LENGTH = PatchPoint._meta.get_field("socket").max_length
LAST_COLUMN = 999


@dataclass(frozen=True)
class PointLine:
    """One line as typed. wired is a unit's tag, a tie line or a mult, not yet looked up."""

    column: int
    label: str
    wired: str
    socket: str
    level: str
    side: str


def points_from_text(text: str, *, level: str, side: str) -> list[PointLine]:
    """The points of a row; level and side are those of lines that give none.

    Raises ValueError with a list of sentences, each naming the line that is not understood.
    """
    points: list[PointLine] = []
    problems = []
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        try:
            follows = points[-1].column + 1 if points else 1
            point = _point(line, follows=follows, level=level, side=side)
            if point.column in {other.column for other in points}:
                raise ValueError(f"column {point.column} is there twice.")
            points.append(point)
        except ValueError as error:
            problems.append(f"Line {number}: {error}")
    if problems:
        raise ValueError(problems)
    return points


def points_to_text(points: Iterable[PatchPoint], *, level: str, side: str) -> str:
    """The points in the form above. Reads their units and tie lines: see with_links."""
    return "\n".join(_line(point, level, side) for point in points)


def _point(line: str, *, follows: int, level: str, side: str) -> PointLine:
    pieces = [piece.strip() for piece in re.split(r"[;\t]", line)]
    column = int(pieces.pop(0)) if len(pieces) > 1 and pieces[0].isdecimal() else follows
    label, wired, socket, *others = [*pieces, "", "", ""][: max(3, len(pieces))]
    if not 1 <= column <= LAST_COLUMN:
        raise ValueError(f"columns run from 1 to {LAST_COLUMN}.")
    if not label:
        raise ValueError(f"the label is missing. Write it like this: {EXAMPLE}")
    _check_length("label", label, LABEL_LENGTH)
    _check_length("socket", socket, SOCKET_LENGTH)
    for word in filter(None, others):
        if found := _choice(word, SignalLevel):
            level = found
        elif found := _choice(word, Side):
            side = found
        else:
            raise ValueError(
                f"“{word}” is neither a level ({_words(SignalLevel)}) nor a side ({_words(Side)})."
            )
    return PointLine(column, label, wired, socket, level, side)


def _check_length(name: str, text: str, length: int) -> None:
    if len(text) > length:
        raise ValueError(f"the {name} “{text}” is longer than {length} letters.")


def _choice(word: str, choices) -> str:
    """The choice whose value or word begins with what was typed (mic, line, in); "" for none."""
    typed = word.casefold()
    return next(
        (
            value
            for value, said in choices.choices
            if value.startswith(typed) or said.casefold().startswith(typed)
        ),
        "",
    )


def _words(choices) -> str:
    return ", ".join(label.lower() for label in choices.labels)


def _line(point: PatchPoint, level: str, side: str) -> str:
    pieces = [
        str(point.column),
        point.label,
        wired_text(point),
        point.socket,
        "" if point.level == level else point.get_level_display().lower(),
        "" if point.side == side else point.get_side_display().lower(),
    ]
    while not pieces[-1]:
        pieces.pop()
    return "; ".join(pieces)


def tag_and_channel(wired: str) -> tuple[str, int | None]:
    """P-01/3 is channel 3 of the unit P-01, unless a unit carries that very tag."""
    tag, _, channel = wired.rpartition("/")
    is_channel = bool(tag) and channel.isdecimal() and len(channel) <= 3
    return (tag.strip(), int(channel)) if is_channel else (wired, None)


def wired_text(point: PatchPoint) -> str:
    """What is behind the point as it is typed; empty when nothing is."""
    if point.unit:
        channel = f"/{point.channel}" if point.channel else ""
        return f"{point.unit.asset_tag}{channel}"
    if point.mult:
        return f"mult {point.mult}"
    if tie_line := getattr(point, "tie_line", None):
        return f"{tie_line.room} / {tie_line.box} / {tie_line.line}"
    return ""
