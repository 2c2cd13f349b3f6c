"""Drawings in plain strokes: SVG on pages, and on paper an image whose address is the drawing.

Reading SVG and drawing it takes a printer of PDF longer than all the rest of a sheet. So paper names
a drawing by an address that says all of it (`strokes:64,64;2,0,M32,8v5`), alike drawings by the same
one, and whoever prints turns the few commands of its paths straight into those of the PDF.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

PAPER_INK = "#000"
SCHEME = "strokes:"
FONT = "Studio Sans, sans-serif"

_COMMAND = re.compile(r"([A-Za-z])([^A-Za-z]*)")
_NUMBER = re.compile(r"-?[\d.]+")


@dataclass(frozen=True)
class Stroke:
    """Path data in the commands M L H V h v l c z, and the pen: its width, and the length of its
    dashes, 0 for a solid line."""

    path: str
    width: float = 2
    dash: float = 0


@dataclass(frozen=True)
class Words:
    """What is written in a drawing, at a point of its baseline: anchor is start, middle or end."""

    text: str
    x: float
    y: float
    anchor: str = "middle"


@dataclass(frozen=True)
class Drawing:
    """Strokes on a sheet of width times height. title says in words what is drawn."""

    title: str
    width: int
    height: int
    strokes: tuple[Stroke, ...]
    words: tuple[Words, ...] = ()
    letter_size: float = 11


def as_svg(
    drawing: Drawing, *, width: str | int, height: str | int, ink: str = "currentColor"
) -> SafeString:
    """An SVG element. Paper cannot inherit a colour or a font into it: the attributes are literal."""
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" width="{}" height="{}" '
        'role="img" fill="none" stroke="{}"><title>{}</title>{}{}</svg>',
        drawing.width,
        drawing.height,
        width,
        height,
        ink,
        drawing.title,
        format_html_join("", '<path d="{}" stroke-width="{}"{}/>', map(_pen, drawing.strokes)),
        _svg_words(drawing, ink),
    )


def as_image(drawing: Drawing, css_class: str) -> SafeString:
    """An image for paper, as large as its class says. Without words: those need a font."""
    return format_html(
        '<img class="{}" src="{}" alt="{}">', css_class, address_of(drawing), drawing.title
    )


def address_of(drawing: Drawing) -> str:
    pens = (
        f"{stroke.width:g},{stroke.dash:g},{stroke.path.replace(' ', ',')}"
        for stroke in drawing.strokes
        if stroke.path
    )
    return SCHEME + ";".join([f"{drawing.width},{drawing.height}", *pens])


def drawing_at(address: str) -> Drawing:
    """The drawing of an address, without its title. Raises ValueError where there is none."""
    if not address.startswith(SCHEME):
        raise ValueError(f"{address!r} is not the address of a drawing.")
    size, *pens = address.removeprefix(SCHEME).split(";")
    width, height = map(int, size.split(","))
    return Drawing("", width, height, tuple(_stroke(*pen.split(",", 2)) for pen in pens))


def ring(x: float, y: float, radius: float) -> str:
    """A circle as four curves, each a quarter; with 0.5523 they come closest."""
    r, k = radius, 0.5523 * radius
    quarters = [(1, 0), (0, 1), (-1, 0), (0, -1), (1, 0)]
    curves = "".join(
        f"c{k * to_x:.2f} {k * to_y:.2f} {r * (to_x - ax) + k * ax:.2f} {r * (to_y - ay) + k * ay:.2f} "
        f"{r * (to_x - ax):.2f} {r * (to_y - ay):.2f}"
        for (ax, ay), (to_x, to_y) in pairwise(quarters)
    )
    return f"M{x + r:.2f} {y:.2f}{curves}z"


def commands(path: str) -> Iterator[tuple[str, list[float]]]:
    """Each command of path data with its numbers."""
    for letter, numbers in _COMMAND.findall(path):
        yield letter, [float(number) for number in _NUMBER.findall(numbers)]


def _stroke(width: str, dash: str, path: str) -> Stroke:
    return Stroke(path, float(width), float(dash))


def _pen(stroke: Stroke) -> tuple[str, float, SafeString | str]:
    dashes = format_html(' stroke-dasharray="{0} {0}"', f"{stroke.dash:g}") if stroke.dash else ""
    return stroke.path, stroke.width, dashes


def _svg_words(drawing: Drawing, ink: str) -> SafeString | str:
    if not drawing.words:
        return ""
    return format_html(
        '<g fill="{}" stroke="none" font-size="{}" font-family="{}">{}</g>',
        ink,
        drawing.letter_size,
        FONT,
        format_html_join(
            "",
            '<text x="{}" y="{}" text-anchor="{}">{}</text>',
            ((f"{said.x:g}", f"{said.y:g}", said.anchor, said.text) for said in drawing.words),
        ),
    )
