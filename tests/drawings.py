"""The drawings of a paper: where the document says they are, and what is to be seen there.

The boxes come from the tags of the PDF, the picture from PDFium: neither knows how they were drawn.
"""

import io
import math
from dataclasses import dataclass

import numpy as np
import pikepdf
import segno
from django.conf import settings
from PIL import ImageFont

from gear.panels import strokes
from tests.printed import elements, rendered

FONTS = settings.BASE_DIR / "studio/static/studio/fonts"
DOTS_PER_INCH = 600
DOTS_PER_POINT = DOTS_PER_INCH / 72
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

        From the centre to the middle of all ink inside the ring, where there is nothing else.
        """
        height, width = self.ink.shape
        y, x = np.mgrid[0:height, 0:width]
        x, y = x - (width - 1) / 2, y - (height - 1) / 2
        radius = np.hypot(x, y) * 64 / width
        inside = np.where((radius > 4) & (radius < 17), self.ink, 0)
        return math.degrees(math.atan2((inside * x).sum(), -(inside * y).sum()))

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
            Drawing(str(figure.Alt), _cut(pages[numbers[figure.Pg.objgen]], figure))
            for figure in elements(document.Root.StructTreeRoot)
            if figure.S == "/Figure"
        ]


def code_says(drawing: Drawing, address: str) -> bool:
    """Whether the drawing is the QR code (ISO/IEC 18004, as segno encodes it) of that address."""
    code = segno.make_qr(address, error="m")
    matrix = [list(row) for row in code.matrix]
    return drawing.modules(len(matrix), border=4) == matrix


def _cut(page: np.ndarray, figure) -> np.ndarray:
    """ISO 32000-1, table 344: the box of a figure, in points from the lower left corner."""
    left, bottom, right, top = (round(float(edge) * DOTS_PER_POINT) for edge in figure.A.BBox)
    return page[len(page) - top : len(page) - bottom, left:right]


def words_beyond(drawing: strokes.Drawing) -> list[str]:
    """What is written over an edge of a drawing, and so cut off, measured by FreeType in our font."""
    font = ImageFont.truetype(FONTS / "StudioSans-Regular.ttf", 100)
    share = {"start": 0, "middle": 0.5, "end": 1}
    found = []
    for said in drawing.words:
        width = font.getlength(said.text) * drawing.letter_size / 100
        left = said.x - share[said.anchor] * width
        if left < 0 or left + width > drawing.width:
            found.append(said.text)
    return found
