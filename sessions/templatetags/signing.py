from django import template
from django.utils.html import format_html

from gear.panels.strokes import PAPER_INK, as_image
from sessions.signing.models import Signature
from sessions.signing.strokes import HEIGHT, WIDTH, NotDrawn, lines_of, path

register = template.Library()


@register.simple_tag
def drawn(signature: Signature, medium: str = "page") -> str:
    """The lines of a signature; on "paper" as an image. Nothing for one that was typed."""
    if not signature.is_drawn:
        return ""
    title = f"Signature of {signature.name}"
    if medium == "paper":
        svg = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}">'
            f'<path d="{path(signature.strokes)}" fill="none" stroke="{PAPER_INK}" stroke-width="12" '
            'stroke-linecap="round" stroke-linejoin="round"/></svg>'
        )
        return as_image(svg, title)
    return format_html(
        '<svg class="signature-drawn" viewBox="0 0 {} {}" role="img" aria-label="{}"><path d="{}"/></svg>',
        WIDTH,
        HEIGHT,
        title,
        path(signature.strokes),
    )


@register.simple_tag
def pad_size() -> str:
    return f"{WIDTH} {HEIGHT}"


@register.filter
def as_path(text: str) -> str:
    """What stands on a pad that came back with errors."""
    try:
        return path(lines_of(text or ""))
    except NotDrawn:
        return ""
