"""Drawings in plain strokes: SVG on pages, and on paper an image whose address holds that SVG."""

from base64 import b64encode
from dataclasses import dataclass
from itertools import pairwise

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

PAPER_INK = "#000"
FONT = "Studio Sans, sans-serif"


@dataclass(frozen=True)
class Stroke:
    """Path data in the commands M L H V h v l c z, and the pen: its width, and the length of its
    dashes, 0 for a solid line. move is an SVG transform, empty where it stands as it is."""

    path: str
    width: float = 2
    dash: float = 0
    move: str = ""


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
    """An SVG element. An image cannot inherit a colour or a font: the attributes are literal."""
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" width="{}" height="{}" '
        'role="img" fill="none" stroke="{}"><title>{}</title>{}{}</svg>',
        drawing.width,
        drawing.height,
        width,
        height,
        ink,
        drawing.title,
        format_html_join("", '<path d="{}" stroke-width="{}"{}{}/>', map(_pen, drawing.strokes)),
        _svg_words(drawing, ink),
    )


def as_image(svg: str, title: str) -> SafeString:
    """An image for paper, whose design says how large it is."""
    return format_html(
        '<img src="data:image/svg+xml;base64,{}" alt="{}">', b64encode(svg.encode()).decode(), title
    )


def print_drawing(drawing: Drawing) -> SafeString:
    """The drawing as an image for paper."""
    svg = as_svg(drawing, width=drawing.width, height=drawing.height, ink=PAPER_INK)
    return as_image(svg, drawing.title)


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


def _pen(stroke: Stroke) -> tuple[str, float, SafeString | str, SafeString | str]:
    dashes = format_html(' stroke-dasharray="{0} {0}"', f"{stroke.dash:g}") if stroke.dash else ""
    move = format_html(' transform="{}"', stroke.move) if stroke.move else ""
    return stroke.path, stroke.width, dashes, move


def _svg_words(drawing: Drawing, ink: str) -> SafeString | str:
    """On paper a little bolder than the font, whose thin stems a photocopy may lose at this size."""
    if not drawing.words:
        return ""
    pen = ink if ink == PAPER_INK else "none"
    return format_html(
        '<g fill="{}" stroke="{}" stroke-width="0.3" font-size="{}" font-family="{}">{}</g>',
        ink,
        pen,
        drawing.letter_size,
        FONT,
        format_html_join(
            "",
            '<text x="{}" y="{}" text-anchor="{}">{}</text>',
            ((f"{said.x:g}", f"{said.y:g}", said.anchor, said.text) for said in drawing.words),
        ),
    )
