"""A drawing's address says all of it, and alike drawings have one address."""

import re

import pytest

from gear.panels.strokes import Drawing, Stroke, Words, address_of, as_image, as_svg, drawing_at

BOX = Drawing(
    "A box & its <lid>",
    64,
    32,
    (Stroke("M1.50 2h-8v3z"), Stroke("M0 0L4 -5", 6), Stroke("", 4), Stroke("M0 0H9", dash=4)),
)


def test_address_says_size_and_strokes():
    drawing = drawing_at(address_of(BOX))

    assert (drawing.width, drawing.height) == (64, 32)
    assert [(stroke.path, stroke.width, stroke.dash) for stroke in drawing.strokes] == [
        ("M1.50,2h-8v3z", 2, 0),
        ("M0,0L4,-5", 6, 0),
        ("M0,0H9", 2, 4),
    ]


def test_address_needs_no_escaping():
    """RFC 3986: unreserved characters and the delimiters , ; : only."""
    assert re.fullmatch(r"strokes:[-A-Za-z0-9.,;]+", address_of(BOX))


@pytest.mark.parametrize("address", ["file:///etc/hostname", "strokes:", "strokes:1;2"])
def test_other_addresses_are_no_drawings(address):
    with pytest.raises(ValueError, match=r"address|invalid literal|unpack"):
        drawing_at(address)


def test_image_speaks_its_title():
    image = as_image(BOX, "control-image")

    assert 'alt="A box &amp; its &lt;lid&gt;"' in image
    assert image.startswith('<img class="control-image" src="strokes:64,32;')


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
