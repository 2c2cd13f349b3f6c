"""A control with what is engraved beside its marks, as the editor of its panel looks at it."""

import math
from collections.abc import Callable

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from gear.audio.dial import Dial, Mark
from gear.audio.values import MINUS
from gear.panels.drawing import (
    CENTRE,
    SIDE,
    TICK_ENDS,
    along,
    draw_control,
    slider_height,
    switch_positions,
)
from gear.panels.models import Control, Kind

#: Where the words of a mark stand (x, y, text-anchor), by the mark and its number.
Place = Callable[[int, Mark], tuple[str, str, str]]


def draw_engraved(control: Control) -> SafeString:
    """SVG for a page, as wide as what it stands in."""
    dial = control.dial()
    place = _PLACES.get(control.kind, _beside_knob)(dial)
    words = format_html_join(
        "",
        '<text x="{}" y="{}" text-anchor="{}">{}</text>',
        (
            (*place(number, mark), _as_set(mark.label))
            for number, mark in enumerate(dial.marks)
            if mark.label
        ),
    )
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-26 -10 116 86" class="engraved" '
        'role="img"><title>{}: {}</title>{}<g fill="currentColor" font-size="8.5">{}</g></svg>',
        control.label or control.get_kind_display(),
        control.range_text(),
        draw_control(control, None, size=SIDE),
        words,
    )


def _as_set(label: str) -> str:
    """A negative number with a true minus, as figures have it everywhere on a page."""
    return MINUS + label[1:] if label.startswith("-") else label


def _beside_knob(dial: Dial) -> Place:
    def place(number: int, mark: Mark) -> tuple[str, str, str]:
        x, y = math.sin(math.radians(mark.angle)), -math.cos(math.radians(mark.angle))
        anchor = "middle" if abs(x) < 0.35 else "start" if x > 0 else "end"
        reach = TICK_ENDS + 4
        return f"{CENTRE + reach * x:.1f}", f"{CENTRE + reach * y + 3:.1f}", anchor

    return place


def _under_switch(dial: Dial) -> Place:
    """On two lines in turn, so that words have room."""
    _, middles = switch_positions(dial)

    def place(number: int, mark: Mark) -> tuple[str, str, str]:
        return f"{middles[number]:.1f}", f"{CENTRE + 20 + number % 2 * 11}", "middle"

    return place


def _beside_slider(dial: Dial) -> Place:
    def place(number: int, mark: Mark) -> tuple[str, str, str]:
        return f"{CENTRE + 24}", f"{slider_height(mark.angle) + 3:.1f}", "start"

    return place


def _over_meter(dial: Dial) -> Place:
    x_of = along(dial)

    def place(number: int, mark: Mark) -> tuple[str, str, str]:
        return f"{x_of(mark.angle):.1f}", f"{CENTRE - 6 - number % 2 * 10}", "middle"

    return place


_PLACES = {Kind.SWITCH: _under_switch, Kind.SLIDER: _beside_slider, Kind.READING: _over_meter}
