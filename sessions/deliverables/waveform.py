"""The outline of a sound as a picture: one filled shape, in whatever ink the page writes with."""

from collections.abc import Sequence

from django.utils.html import format_html
from django.utils.safestring import SafeString

from sessions.deliverables.measuring import WAVEFORM_FULL_SCALE


def draw_waveform(columns: Sequence[tuple[int, int]], *, title: str) -> SafeString:
    """An SVG element as wide as its place. Its top and bottom edges are digital full scale.

    `columns` are pairs (lowest, highest sample) over time, in which WAVEFORM_FULL_SCALE is full
    scale; the hairline around the shape keeps silence in sight.
    """
    full = WAVEFORM_FULL_SCALE
    there = [f"{x} {-high}" for x, (_, high) in enumerate(columns)]
    back = [f"{x} {-low}" for x, (low, _) in enumerate(columns)][::-1]
    return format_html(
        '<svg class="waveform" viewBox="0 {} {} {}" preserveAspectRatio="none" role="img"'
        ' xmlns="http://www.w3.org/2000/svg"><title>{}</title>'
        '<path d="M{}Z" fill="currentColor" stroke="currentColor" stroke-linejoin="round"'
        ' vector-effect="non-scaling-stroke"/></svg>',
        -full,
        max(len(columns) - 1, 1),
        2 * full,
        title,
        " ".join(there + back) or "0 0h1",
    )
