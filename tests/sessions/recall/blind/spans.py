"""The words of a printed sheet as they stand on its pages: where, how large, bold, slanted or white on
black. Read with MuPDF, which had no part in making them. Lengths are in points of a sheet whose text is
set in 8 points, so that a reduced page reads like a full one."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import pymupdf

TEXT = 8
SMALLEST_TEXT = 7.4  # what is smaller stands in a drawing
MARGIN = 36  # the running head and the foot stand in it


@dataclass(frozen=True)
class Span:
    text: str
    page: int
    left: float
    top: float
    right: float
    size: float
    bold: bool
    italic: bool
    mono: bool
    white: bool

    @property
    def words(self) -> str:
        return self.text.strip()

    @property
    def is_note(self) -> bool:
        return self.size < TEXT - 0.3

    @property
    def is_name(self) -> bool:
        """Set larger than the text, and smaller than a heading."""
        return TEXT + 1 < self.size < TEXT + 3

    @property
    def is_heading(self) -> bool:
        return self.size >= TEXT + 3


def spans_of(pdf: bytes) -> tuple[list[Span], float]:
    """What the sheet says, in reading order, without running heads and the words of drawings; and how
    far the sheet is reduced."""
    with pymupdf.open(stream=pdf) as document:
        found = [
            (page.number, page.rect.height, span)
            for page in document
            for block in page.get_text("dict")["blocks"]
            for line in block.get("lines", ())
            for span in line["spans"]
            if span["text"].strip()
        ]
    [(size, _)] = Counter(round(span["size"], 1) for *_, span in found).most_common(1)
    scale = size / TEXT
    spans = [
        Span(
            span["text"].replace("\xa0", " "),
            page,
            span["bbox"][0] / scale,
            span["bbox"][1] / scale,
            span["bbox"][2] / scale,
            span["size"] / scale,
            "Bold" in span["font"],
            "Italic" in span["font"],
            "Mono" in span["font"],
            span["color"] == 0xFFFFFF,
        )
        for page, height, span in found
        if MARGIN * scale < span["bbox"][1] < height - MARGIN * scale
    ]
    return [span for span in spans if span.size >= SMALLEST_TEXT], scale


def text(spans: Iterable[Span]) -> str:
    """With single blanks, also where a line ends, but for behind a hyphen."""
    return _run_on((span, span.text) for span in spans).replace(" ,", ",")


def marked(spans: Iterable[Span]) -> str:
    """The same, with what is bold between asterisks, also on the next line, and what is white on black
    in brackets."""
    return _run_on((span, _marked(span)) for span in spans).replace("* *", " ").replace("**", "")


def _run_on(pieces: Iterable[tuple[Span, str]]) -> str:
    words, before = "", None
    for span, piece in pieces:
        is_torn = before and before.text.endswith("-") and span.top > before.top + 4
        words += piece if is_torn else f" {piece}"
        before = span
    return " ".join(words.split())


def _marked(span: Span) -> str:
    if span.white:
        return f"[{span.words}]"
    return f"*{span.words}*" if span.bold else span.text


def split_at(spans: list[Span], begins) -> Iterator[list[Span]]:
    """Pieces that each begin with a span for which `begins` holds; what stands before is left out."""
    places = [place for place, span in enumerate(spans) if begins(span)]
    for start, end in pairwise([*places, len(spans)]):
        yield spans[start:end]
