"""A control with what is engraved beside its marks."""

from collections.abc import Iterator
from dataclasses import replace

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from gear.panels.drawing import SIDE, draw_control, drawing_of, parts_of
from gear.panels.models import Control
from gear.panels.reading import as_set
from gear.panels.strokes import Words, as_svg


def draw_with_figures(control: Control, value: float | None) -> SafeString:
    """The control at a value, as `draw_control` gives it. Its figures stand beyond its square, in a
    group that the page may show: `svg > g`."""
    drawing = replace(drawing_of(control, value), words=tuple(_figures(control)), letter_size=8)
    return as_svg(drawing, width=80, height=80)


def draw_engraved(control: Control) -> SafeString:
    """SVG for a page, as wide as what it stands in: for the editor of its panel."""
    words = format_html_join(
        "",
        '<text x="{}" y="{}" text-anchor="{}">{}</text>',
        ((f"{each.x:.1f}", f"{each.y:.1f}", each.anchor, each.text) for each in _figures(control)),
    )
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-26 -10 116 86" class="engraved" '
        'role="img"><title>{}: {}</title>{}<g fill="currentColor" font-size="8.5">{}</g></svg>',
        control.label or control.get_kind_display(),
        control.range_text(),
        draw_control(control, None, size=SIDE),
        words,
    )


def _figures(control: Control) -> Iterator[Words]:
    beside = parts_of(control).beside
    for number, mark in enumerate(control.dial().marks):
        if mark.label:
            x, y, anchor = beside(number, mark)
            yield Words(as_set(mark.label), round(x, 1), round(y, 1), anchor)
