"""The pointer on the page and on paper stands where the dial says."""

import math
import re

import numpy as np
import pypdfium2
import pytest
from django.template import Context, Template
from hypothesis import given
from hypothesis import strategies as st

from gear.panels.drawing import draw_control, drawing_of, print_control
from gear.panels.models import Control
from gear.panels.strokes import PAPER_INK, as_svg

TOLERANCE = 2  # degrees
KNOB = [(0, -150), (30, 0), (60, 150)]
UNEVEN = [(20, -150), (100, -90), (1_000, 30), (20_000, 150)]
SWITCH = [(0, 0, "out"), (1, 1, "in"), (2, 2, "auto")]
SLIDER = [(-60, 0), (0, 75), (10, 100)]
METER = [(0, -40), (3, -10), (20, 40)]


def control(kind="continuous", marks=KNOB, **facts):
    marks = [
        {"value": mark[0], "angle": mark[1], "label": mark[2] if len(mark) > 2 else str(mark[0])}
        for mark in marks
    ]
    return Control(**{"label": "Gain", "unit": "dB", "kind": kind, "marks": marks} | facts)


def inked(control, value):
    return as_svg(drawing_of(control, value), width="40mm", height="40mm", ink=PAPER_INK)


def paths(svg):
    return re.findall(r'<path d="([^"]*)"', svg)


def moved(svg):
    """The figures of the transform that brings the pointer to where it stands."""
    [transform] = re.findall(r'transform="\w+\(([^)]*)\)"', svg)
    return [float(figure) for figure in transform.split()]


def turned(svg):
    """Degrees of a knob's pointer, which is drawn straight up and turned about the centre."""
    assert paths(svg)[1] == "M32.00 32.00L32.00 12.00"
    degrees, x, y = moved(svg)
    assert (x, y) == (32, 32)
    return degrees


def angle_between(a, b):
    return abs((a - b + 180) % 360 - 180)


def on_paper(drawing, width_mm=40):
    """The drawing printed to PDF and rendered at 200 dpi, as darkness from 0 to 1."""
    import weasyprint

    page = (
        f"<style>@page {{ size: {width_mm}mm {width_mm}mm; margin: 0 }} "
        f"body {{ margin: 0 }} svg {{ display: block }}</style>{drawing}"
    )
    pdf = weasyprint.HTML(string=page).write_pdf()
    picture = pypdfium2.PdfDocument(pdf)[0].render(scale=200 / 72, grayscale=True)
    return 1 - picture.to_numpy().astype(float) / 255


def darkest_direction(ink):
    """Degrees clockwise from straight up of the ink that lies inside the ring."""
    height, width = ink.shape
    y, x = np.mgrid[0:height, 0:width]
    x, y = x - (width - 1) / 2, y - (height - 1) / 2
    radius = np.hypot(x, y) * 64 / width
    inside = np.where((radius > 4) & (radius < 17), ink, 0)
    return math.degrees(math.atan2((inside * x).sum(), -(inside * y).sum()))


@given(st.floats(0, 60))
def test_pointer_stands_at_the_dials_angle(value):
    knob = control()

    drawn = turned(draw_control(knob, value))

    assert angle_between(drawn, knob.dial().angle_of(value)) < TOLERANCE


@given(st.floats(20, 20_000))
def test_pointer_follows_uneven_logarithmic_marks(value):
    knob = control(marks=UNEVEN, scale="log", unit="Hz")

    drawn = turned(draw_control(knob, value))

    assert angle_between(drawn, knob.dial().angle_of(value)) < TOLERANCE


@pytest.mark.parametrize("value", [0, 11, 30, 47.5, 60])
def test_pointer_is_printed_at_the_dials_angle(value):
    knob = control()

    ink = on_paper(inked(knob, value))

    assert angle_between(darkest_direction(ink), knob.dial().angle_of(value)) < TOLERANCE


def test_nothing_is_printed_inside_a_ring_that_was_not_logged():
    ink = on_paper(inked(control(), None))

    height, width = ink.shape
    middle = ink[height // 3 : height * 2 // 3, width // 3 : width * 2 // 3]
    assert middle.max() == 0
    assert ink.max() == 1


@pytest.mark.parametrize(
    ("kind", "marks"),
    [("continuous", KNOB), ("stepped", KNOB), ("slider", SLIDER), ("reading", METER)],
)
def test_every_mark_is_drawn_once(kind, marks):
    svg = draw_control(control(kind, marks), None)

    assert paths(svg)[1].count("M") == len(marks)


def test_stepped_marks_touch_the_ring():
    continuous = paths(draw_control(control(), None))[1]
    stepped = paths(draw_control(control("stepped"), None))[1]

    assert "M32.00 8.00L" in continuous
    assert "M32.00 13.00L" in stepped


@pytest.mark.parametrize("position", [0, 1, 2])
def test_switch_fills_the_box_that_is_set(position):
    ink = on_paper(inked(control("switch", SWITCH), position))

    row = ink[ink.shape[0] // 2]
    width = len(row)
    centres = [row[int(width * (32 + 18 * (box - 1)) / 64)] for box in range(3)]
    assert [darkness > 0.9 for darkness in centres] == [box == position for box in range(3)]


@given(st.floats(-60, 10))
def test_slider_thumb_stands_at_the_dials_travel(value):
    slider = control("slider", SLIDER)

    _, y = moved(draw_control(slider, value))  # from the bottom of a track of 52

    assert -y / 52 * 100 == pytest.approx(slider.dial().angle_of(value), abs=0.1)


@given(st.floats(0, 20))
def test_needle_stands_where_the_meters_arc_is_unrolled(value):
    meter = control("reading", METER)

    svg = draw_control(meter, value)
    start, _, _ = map(float, re.findall(r"[-\d.]+", paths(svg)[1]))

    x = start + moved(svg)[0]
    assert -40 + (x - 6) / 52 * 80 == pytest.approx(meter.dial().angle_of(value), abs=0.1)


def test_reading_without_marks_has_no_needle():
    svg = draw_control(control("reading", []), -4.5)

    assert paths(svg) == ["M6.00 40.00h52", ""]
    assert "<title>Gain: −4.5 dB</title>" in svg


def test_value_off_the_scale_is_drawn_without_pointer():
    svg = draw_control(control(), 75)

    assert paths(svg)[1] == ""
    assert "<title>Gain: 75 dB, off the scale</title>" in svg


def test_not_logged_is_dashed_and_says_so():
    svg = draw_control(control(), None)

    assert svg.count("stroke-dasharray") == 1
    assert "<title>Gain: not logged</title>" in svg
    assert "stroke-dasharray" not in draw_control(control(), 30)


def test_title_is_escaped():
    svg = draw_control(control(label="<b>Lo & Hi</b>"), 30)

    assert "<title>&lt;b&gt;Lo &amp; Hi&lt;/b&gt;: 30 dB, 12:00</title>" in svg


def test_drawing_has_two_paths_and_no_style():
    svg = draw_control(control("stepped", [(n, n * 12 - 150) for n in range(24)]), 7)

    assert re.findall(r"<(\w+)", svg) == ["svg", "title", "path", "path"]
    assert "style" not in svg
    assert "class" not in svg


def test_tag_draws_for_page_and_paper():
    template = Template(
        "{% load drawing %}{% draw_control knob 30 %}|{% draw_control knob 30 'paper' %}"
        "|{% read_control knob 30 as reading %}{{ reading.value_text }}"
    )

    page, paper, text = template.render(Context({"knob": control()})).split("|")

    assert page == draw_control(control(), 30)
    assert paper == print_control(control(), 30)
    assert text == "30 dB"
