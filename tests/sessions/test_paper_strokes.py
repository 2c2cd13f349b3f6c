"""Drawings on paper, measured in the pixels of the rendered PDF."""

import math
import random

import numpy as np
import pytest

from gear.panels.drawing import drawing_of, print_control
from gear.panels.models import Control
from gear.panels.strokes import Drawing, Stroke, address_of
from sessions.paper import print_markup
from sessions.paper_strokes import Picture, Pictures
from tests.printed import rendered

TOLERANCE = 2  # degrees
KNOBS, ACROSS = 96, 8
DOTS_PER_INCH = 300
MM = DOTS_PER_INCH / 25.4
SIDE = 20  # mm of paper for each knob
PAGE = """<!doctype html><html lang="en-GB"><head><title>Knobs</title><style>
@page {{ size: {width}mm {height}mm; margin: 0; @top-left {{ content: none }}
  @top-right {{ content: none }} @bottom-left {{ content: none }} @bottom-right {{ content: none }} }}
body {{ line-height: 0; font-size: 0 }} img {{ display: inline-block !important; margin: 3mm }}
</style></head><body>{knobs}</body></html>"""


def random_knob(chance: random.Random) -> tuple[Control, float]:
    """A knob with 2 to 11 marks anywhere between 7 and 5 o'clock, and a value it can stand at."""
    kind = chance.choice(["continuous", "stepped"])
    count = chance.randint(2, 11)
    angles = sorted(chance.sample(range(-150, 151, 6), count))
    values = sorted(chance.sample(range(1, 1000), count), reverse=chance.random() < 0.5)
    marks = [
        {"value": value, "angle": angle, "label": ""}
        for value, angle in zip(values, angles, strict=True)
    ]
    scale = chance.choice(["linear", "log"])
    control = Control(label="Gain", kind=kind, scale=scale, marks=marks)
    value = chance.choice(values) if kind == "stepped" else chance.uniform(min(values), max(values))
    return control, value


def pointed(ink: np.ndarray) -> float:
    """Degrees clockwise from straight up of the ink inside the ring."""
    height, width = ink.shape
    y, x = np.mgrid[0:height, 0:width]
    x, y = x - (width - 1) / 2, y - (height - 1) / 2
    radius = np.hypot(x, y) * 64 / (14 * MM)
    inside = np.where((radius > 4) & (radius < 17), ink, 0)
    return math.degrees(math.atan2((inside * x).sum(), -(inside * y).sum()))


def test_pointers_of_random_knobs_are_printed_where_the_dial_says():
    chance = random.Random(12)
    knobs = [random_knob(chance) for _ in range(KNOBS)]
    rows = KNOBS // ACROSS
    page = PAGE.format(
        width=SIDE * ACROSS,
        height=SIDE * rows,
        knobs="".join(print_control(*knob) for knob in knobs),
    )

    (picture,) = rendered(print_markup(page, base_url="https://x/"), dots_per_inch=DOTS_PER_INCH)

    ink = 1 - np.asarray(picture, dtype=float) / 255
    for number, (control, value) in enumerate(knobs):
        row, column = divmod(number, ACROSS)
        left, top = (round(SIDE * MM * place) for place in (column, row))
        right, bottom = (round(SIDE * MM * (place + 1)) for place in (column, row))
        difference = pointed(ink[top:bottom, left:right]) - control.dial().angle_of(value)
        assert abs((difference + 180) % 360 - 180) < TOLERANCE, (number, control.marks, value)


def test_path_is_drawn_by_the_operators_of_pdf():
    """ISO 32000-1, tables 57, 59 and 60: w, d, m, l, c, h, S."""
    picture = Picture(Drawing("", 64, 32, (Stroke("M1 2h3v4l-1 -1c1 0 2 0 3 3z", 6, 4),)))

    assert picture.operators == (
        b"0 G 6 w [4 4] 0 d 1.00 2.00 m 4.00 2.00 l 4.00 6.00 l 3.00 5.00 l "
        b"4.00 5.00 5.00 5.00 6.00 8.00 c h S"
    )


def test_alike_drawings_are_one_picture_and_other_addresses_none():
    pictures = Pictures()
    address = address_of(drawing_of(Control(kind="reading", label="Level"), None))

    assert address in pictures
    assert pictures[address] is pictures[address]
    assert "https://elsewhere.example/picture.png" not in pictures


def test_command_that_no_drawing_has_is_refused():
    with pytest.raises(ValueError, match="no command 'A'"):
        Picture(Drawing("", 9, 9, (Stroke("M0 0A1 1 0 0 0 2 2"),)))
