"""A control with what is engraved beside its marks, as the editor of its panel looks at it."""

from collections.abc import Iterator

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from gear.audio.values import MINUS
from gear.panels.drawing import SIDE, draw_control, parts_of
from gear.panels.models import Control


def draw_engraved(control: Control) -> SafeString:
    """SVG for a page, as wide as what it stands in."""
    words = format_html_join("", '<text x="{}" y="{}" text-anchor="{}">{}</text>', _words(control))
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-26 -10 116 86" class="engraved" '
        'role="img"><title>{}: {}</title>{}<g fill="currentColor" font-size="8.5">{}</g></svg>',
        control.label or control.get_kind_display(),
        control.range_text(),
        draw_control(control, None, size=SIDE),
        words,
    )


def _words(control: Control) -> Iterator[tuple[str, str, str, str]]:
    beside = parts_of(control).beside
    for number, mark in enumerate(control.dial().marks):
        if mark.label:
            x, y, anchor = beside(number, mark)
            yield f"{x:.1f}", f"{y:.1f}", anchor, _as_set(mark.label)


def _as_set(label: str) -> str:
    """A negative number with a true minus, as figures have it everywhere on a page."""
    return MINUS + label[1:] if label.startswith("-") else label
