"""The drawings of a paper: where the document says they are, and what is to be seen there.

The boxes come from the tags of the PDF, the picture from PDFium: neither knows how they were drawn.
"""

import io
import math
from dataclasses import dataclass

import numpy as np
import pikepdf
import segno

from tests.printed import rendered

DOTS_PER_INCH = 192
# WeasyPrint counts the box of a figure in CSS pixels from the upper left corner of the page.
DOTS_PER_PIXEL = DOTS_PER_INCH / 96
DARK = 128


@dataclass(frozen=True)
class Drawing:
    """A figure: what it says to those who can't see it, and its dots, True where there is ink."""

    words: str
    ink: np.ndarray

    @property
    def share_of_ink(self) -> float:
        return float(self.ink.mean())

    def points_to(self) -> float:
        """Where the thick pointer of a knob points: degrees clockwise from straight up.

        Read from a circle about the centre that lies inside the ring, so that only the pointer
        crosses it: the middle of what is dark there.
        """
        side = self.ink.shape[0]
        turn = np.radians(np.arange(0, 360, 0.5))
        radius = 0.17 * side
        across = np.round(side / 2 + radius * np.sin(turn)).astype(int)
        down = np.round(side / 2 - radius * np.cos(turn)).astype(int)
        dark = turn[self.ink[down, across]]
        return math.degrees(math.atan2(np.sin(dark).sum(), np.cos(dark).sum()))

    def modules(self, count: int, border: int) -> list[list[int]]:
        """The picture read as a square code of `count` modules within a white border."""
        size = self.ink.shape[0] / (count + 2 * border)
        middles = np.round((np.arange(count) + border + 0.5) * size).astype(int)
        return self.ink[np.ix_(middles, middles)].astype(int).tolist()


def drawings(pdf: bytes) -> list[Drawing]:
    """All figures of the paper, in reading order."""
    pages = [np.asarray(page) < DARK for page in rendered(pdf, dots_per_inch=DOTS_PER_INCH)]
    with pikepdf.open(io.BytesIO(pdf)) as document:
        numbers = {page.obj.objgen: number for number, page in enumerate(document.pages)}
        return [
            Drawing(str(figure.Alt), _cut(pages[numbers[figure.Pg.objgen]], figure.A.BBox))
            for figure in _figures(document.Root.StructTreeRoot)
        ]


def code_says(drawing: Drawing, address: str) -> bool:
    """Whether the drawing is the QR code (ISO/IEC 18004, as segno encodes it) of that address."""
    code = segno.make_qr(address, error="m")
    matrix = [list(row) for row in code.matrix]
    return drawing.modules(len(matrix), border=4) == matrix


def _cut(page: np.ndarray, box) -> np.ndarray:
    left, top, right, bottom = (round(float(edge) * DOTS_PER_PIXEL) for edge in box)
    return page[top:bottom, left:right]


def _figures(element):
    if isinstance(element, pikepdf.Array):
        for each in element:
            yield from _figures(each)
    elif isinstance(element, pikepdf.Dictionary):
        if element.get("/S") == "/Figure":
            yield element
        if "/K" in element:
            yield from _figures(element.K)
