"""A drawing as SVG, and as the image that paper takes."""

import re
from base64 import b64decode

from gear.panels.strokes import Drawing, Stroke, Words, as_svg, print_drawing

BOX = Drawing(
    "A box & its <lid>",
    64,
    32,
    (Stroke("M1.50 2h-8v3z"), Stroke("M0 0L4 -5", 6), Stroke("", 4), Stroke("M0 0H9", dash=4)),
)


def test_image_speaks_its_title_and_its_address_is_the_drawing():
    """RFC 2397: the data scheme, in base64."""
    image = print_drawing(BOX)

    assert 'alt="A box &amp; its &lt;lid&gt;"' in image
    (held,) = re.findall(r'src="data:image/svg\+xml;base64,([A-Za-z0-9+/=]+)"', image)
    assert b64decode(held).decode() == as_svg(BOX, width=64, height=32, ink="#000")


def test_svg_has_a_path_for_every_stroke_and_its_words():
    svg = as_svg(
        Drawing("Two", 9, 9, (Stroke("M0 0H9", dash=4),), (Words("1 < 2", 3, 4.5, "end"),)),
        width="9mm",
        height="9mm",
        ink="#000",
    )

    assert '<path d="M0 0H9" stroke-width="2" stroke-dasharray="4 4"/>' in svg
    assert '<text x="3" y="4.5" text-anchor="end">1 &lt; 2</text>' in svg
    assert "<title>Two</title>" in svg
