"""Who has nothing but the printed recall sheet, and knows of it what it says of itself: a line from
source to track, numbered units in frames, what joins them between the frames, and in each frame its
controls."""

import re
from dataclasses import dataclass
from itertools import pairwise, takewhile

from tests.sessions.recall.blind.cells import Cell, cells_of
from tests.sessions.recall.blind.spans import TEXT, Span, marked, spans_of, split_at, text

MARK = re.compile(r"S|T|A|\d+")
INSIDE = 15  # points from a card's left edge to where only controls stand


@dataclass(frozen=True)
class Wire:
    """`how` is the cord's number, or "normal" or "direct"; ends are empty where nothing is named."""

    how: str
    start: str
    end: str
    words: str


@dataclass(frozen=True)
class Card:
    """`wires` lead into it; beside them stand the `levels` of what they lead from: calculated, read, as
    the tone read, headroom."""

    mark: str
    tag: str
    model: str
    path: str
    cells: list[Cell]
    notes: str
    wires: list[Wire]
    levels: list[str]


@dataclass(frozen=True)
class PrintedChain:
    number: int
    source: str
    track: str
    head: str
    placement: dict[str, str]
    placement_note: str
    cards: list[Card]
    start: str
    end: str
    out: list[Wire]
    out_levels: list[str]

    @property
    def revision(self) -> int:
        return int(re.search(r"Revision (\d+)\b", self.head)[1])


@dataclass(frozen=True)
class PrintedSheet:
    front: list[Span]
    chains: list[PrintedChain]
    engraved: str


def read_sheet(pdf: bytes) -> PrintedSheet:
    spans, _ = spans_of(pdf)
    begins = [place for place, span in enumerate(spans) if _heads_chain(span)]
    chains = [_chain(each) for each in split_at(spans, _heads_chain)]
    pieces = split_at(spans, lambda span: span.is_heading)
    engraved = [piece for piece in pieces if piece[0].words.startswith("Engraved marks")]
    return PrintedSheet(spans[: begins[0]], chains, marked(engraved[0][1:]) if engraved else "")


def _heads_chain(span: Span) -> bool:
    return span.is_heading and span.white and span.words.isdigit()


def _chain(spans: list[Span]) -> PrintedChain:
    title = list(takewhile(lambda span: span.is_heading, spans))
    source, _, track = text(title[1:]).partition(" → ")
    spans = title + list(takewhile(lambda span: not span.is_heading, spans[len(title) :]))
    places = [place for place in range(len(spans)) if _is_mark(spans, place)]
    head = spans[len(title) : places[0]]
    pieces = [spans[start:end] for start, end in pairwise([*places, len(spans)])]
    [start] = [piece for piece in pieces if piece[0].words == "S"]
    [end] = [piece for piece in pieces if piece[0].words == "T"]
    placement, note = _placement(head)
    cards, wires, levels = [], [], []
    for piece in pieces:
        if piece is start or piece is end:
            continue
        card, leads_on = _card(piece, wires, levels)
        cards.append(card)
        wires = wires_in([span for span in leads_on if not span.mono])
        levels = text(span for span in leads_on if span.mono).split()
    return PrintedChain(
        int(spans[0].words),
        source,
        track,
        text(head),
        placement,
        note,
        cards,
        marked(start[1:]),
        marked(end[1:]),
        wires,
        levels,
    )


def _is_mark(spans: list[Span], place: int) -> bool:
    """A number or letter alone, bold, left of what it belongs to."""
    span = spans[place]
    if not (span.bold and not span.white and MARK.fullmatch(span.words)) or place + 1 == len(spans):
        return False
    after = spans[place + 1]
    if abs(span.size - TEXT) > 0.3 or after.left - span.right < 8 or not after.bold:
        return False
    return after.is_name or span.words in "ST"


def _placement(head: list[Span]) -> tuple[dict[str, str], str]:
    """Names, with the bold values that follow them; and what somebody wrote."""
    begins = [place for place, span in enumerate(head) if span.words == "Placement:"]
    if not begins:
        assert "Placement not logged" in text(head), text(head)
        return {}, ""
    facts, name, note = {}, "", ""
    for span in head[begins[0] + 1 :]:
        if span.bold and not name:
            facts[list(facts)[-1]] += f" {span.words}"
        elif span.bold:
            facts[name] = span.words
            name = ""
        elif span.text.startswith(".") or note:
            note += f"{span.text.lstrip('.')} "
        else:
            name = f"{name} {span.words}".strip("; ")
    return facts, " ".join(note.split())


def _card(spans: list[Span], wires: list[Wire], levels: list[str]) -> tuple[Card, list[Span]]:
    """The unit, and what leads out of it."""
    mark, rest = spans[0], spans[1:]
    edge = rest[0].left
    name = [span for span in rest if span.is_name]
    path = next(place for place, span in enumerate(rest) if not span.is_name)
    cells, notes, place = [], [], path + 1
    while place < len(rest) and (rest[place].is_note or rest[place].left > edge + INSIDE):
        (cells if _line_begin(rest, place) > edge + INSIDE else notes).append(rest[place])
        place += 1
    card = Card(
        mark.words,
        text(span for span in name if span.bold),
        text(span for span in name if not span.bold),
        rest[path].words.rpartition("· ")[2],
        cells_of(cells),
        text(notes),
        wires,
        levels,
    )
    return card, rest[place:]


def _line_begin(spans: list[Span], place: int) -> float:
    """Where the line begins in which this one stands."""
    while (
        place and abs(spans[place - 1].top - spans[place].top) < 4 and not spans[place - 1].is_name
    ):
        place -= 1
    return spans[place].left


def wires_in(spans: list[Span]) -> list[Wire]:
    return [_wire(each) for each in split_at(spans, _heads_wire)]


def _heads_wire(span: Span) -> bool:
    return (span.white and span.words.isdigit()) or bool(
        not span.bold and re.fullmatch(r"(normal|direct)( +cable)?", span.words)
    )


def _wire(spans: list[Span]) -> Wire:
    how, _, rest = marked(spans).partition("]") if spans[0].white else ("", "", marked(spans))
    if how:
        how = how.strip("[")
    else:
        how, _, rest = rest.partition(" ")
    return Wire(how, *ends_of(rest), rest.strip())


def ends_of(words: str) -> tuple[str, str]:
    """From what to what; empty where nothing is named."""
    ends = re.match(r"[☐ ]*(.+?) → (.+?)(?:[;,·(]|$)", words)
    return ends.groups() if ends else ("", "")
