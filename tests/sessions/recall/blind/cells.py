"""The controls of a unit's card: in each cell a drawing, a name, the value in bold (or, slanted, that it
was not logged), and where the pointer or the fader stands."""

import re
from dataclasses import dataclass

from tests.sessions.recall.blind.spans import Span, text

#: Where a pointer or a fader stands, or a piece of that, where it goes on in the next line.
PLACE = re.compile(r"\d{1,2}:\d\d|at|(at )?\d+( ?%)?|%|off the scale")
COLUMN = 2  # points by which lines of one cell may stand apart on the left


@dataclass(frozen=True)
class Cell:
    """`group` where one begins; `place` is the clock position, or the travel of a fader; `more` is set
    small: that a meter was read, the positions of a switch."""

    group: str
    name: str
    value: str | None
    place: str
    more: str
    is_copied: bool
    page: int
    left: float
    top: float


def cells_of(spans: list[Span]) -> list[Cell]:
    """In the order in which they stand, as the words of each run on."""
    cells, current = [], []
    for span in spans:
        if current and _begins_anew(current, span):
            cells.append(_cell(current))
            current = []
        current.append(span)
    return cells + ([_cell(current)] if current else [])


def _begins_anew(current: list[Span], span: Span) -> bool:
    """A name after a value: at another place than the value's own lines, or no place of a pointer."""
    said = [each for each in current if _is_value(each)]
    if not said or _is_value(span) or span.is_note:
        return False
    runs_on = span.top < said[-1].top + 4 and abs(span.left - said[-1].right) < 4
    wraps = abs(span.left - said[-1].left) < COLUMN and span.page == said[-1].page
    return not ((runs_on or wraps) and PLACE.fullmatch(span.words))


def _is_value(span: Span) -> bool:
    return (span.bold and not span.white) or span.italic


def _cell(spans: list[Span]) -> Cell:
    first = next(place for place, span in enumerate(spans) if _is_value(span))
    name, said = spans[:first], spans[first:]
    slanted = text(span for span in said if span.italic)
    value = text(span for span in said if span.bold)
    assert value or slanted.endswith("not logged"), text(spans)
    words = [span for span in name if not span.white and not span.is_note]
    place = [span for span in said if not (span.bold or span.italic or span.is_note)]
    head = words[0] if words else name[0]
    return Cell(
        group=text(span for span in name if span.white),
        name=text(words),
        value=value or None,
        place=text(place).replace(" %", "%"),
        more=text(span for span in spans if span.is_note),
        is_copied="not yet set" in slanted,
        page=head.page,
        left=min(span.left for span in spans),
        top=min(span.top for span in name),
    )
