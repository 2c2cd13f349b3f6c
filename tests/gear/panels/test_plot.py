"""The curve on the page and on paper goes through the points that were computed."""

import re

import numpy as np
import pypdfium2
import pytest
from django.template import Context, Template

from gear.audio.curves import Band, Compressor
from gear.panels.plot import (
    compressor_plot,
    draw_plot,
    equaliser_plot,
    plot_drawing,
    response_plot,
)
from tests.drawings import words_beyond

LEFT, RIGHT, TOP, BOTTOM = 28, 220, 4, 67


def paths(svg):
    return re.findall(r'<path d="([^"]*)"', svg)


def points(path):
    return [tuple(map(float, pair.split())) for pair in path.removeprefix("M").split("L")]


def test_peak_stands_at_its_frequency_and_gain():
    plot = equaliser_plot([Band("peak", 1000, 9, 2)], "A peak")
    curve = points(paths(draw_plot(plot))[2])
    top = min(curve, key=lambda point: point[1])

    across = (top[0] - LEFT) / (RIGHT - LEFT)  # of the three decades from 20 Hz
    assert 20 * 1000**across == pytest.approx(1000, rel=0.04)
    assert ((TOP + BOTTOM) / 2 - top[1]) / ((BOTTOM - TOP) / 2) * 18 == pytest.approx(9, abs=0.2)


def test_plot_grows_for_a_deep_boost_and_never_leaves_its_grid():
    plot = equaliser_plot([Band("low cut", 500, order=4), Band("peak", 5000, 24, 2)], "Deep")

    curve = points(paths(draw_plot(plot))[2])

    assert plot.up.high == 30
    assert all(TOP <= y <= BOTTOM for _, y in curve)


def test_compressor_is_drawn_beside_the_line_of_no_compression():
    plot = compressor_plot(Compressor(-20, 4), "Four to one", "dBu")

    straight, bent = map(points, paths(draw_plot(plot))[1:])

    assert straight == [(LEFT, BOTTOM), (RIGHT, TOP)]
    assert bent[0] == (LEFT, BOTTOM)
    assert bent[-1][1] > straight[-1][1]


def test_plot_says_in_its_title_what_it_shows_and_escapes_it():
    svg = draw_plot(equaliser_plot([Band("peak", 1000, 3)], "Low & <high>"))

    assert "<title>Low &amp; &lt;high&gt;</title>" in svg
    assert "style=" not in svg
    assert len(paths(svg)) == 3


def test_plot_prints_black_on_white():
    from weasyprint import HTML

    template = Template('{% load drawing %}{% draw_plot plot "paper" %}')
    html = template.render(Context({"plot": equaliser_plot([Band("peak", 1000, 12)], "Peak")}))
    page = pypdfium2.PdfDocument(HTML(string=html).write_pdf())[0]
    image = np.array(page.render(scale=1).to_pil().convert("L"))

    assert image.min() < 60
    assert (image > 250).mean() > 0.8


@pytest.mark.parametrize("unit", ["dB", "dBu", "dBFS"])
@pytest.mark.parametrize("threshold", [-40, -4.5, 15])
def test_figures_of_a_plot_are_not_cut_off(threshold, unit):
    assert words_beyond(plot_drawing(compressor_plot(Compressor(threshold, 4), "Dry", unit))) == []
    assert words_beyond(plot_drawing(equaliser_plot([Band("peak", 1000, 24, 1)], "Lintel"))) == []


@pytest.mark.parametrize(
    ("plot", "across", "up"),
    [
        (equaliser_plot([Band("peak", 1000, 9, 2)], "A peak"), "1 kHz", "dB"),
        (compressor_plot(Compressor(-10, 4), "Down", "dBu"), "−30.0 dBu", "dBu"),
    ],
)
def test_both_axes_name_their_unit(plot, across, up):
    words = re.findall(r"<text [^>]*>([^<]*)</text>", draw_plot(plot))

    assert across in words
    assert words[-1] == up
    assert not any(
        said.endswith(f" {up}") for said in words if said not in dict(plot.across.labels).values()
    )


def test_measured_response_is_drawn_beside_the_flat_line_with_gaps_where_it_is_not_told():
    told = [(20.0, None), (100.0, -2.0), (1000.0, 0.0), (5000.0, None), (10_000.0, 4.0)]

    flat, curve = paths(draw_plot(response_plot(told, "As measured")))[1:]

    assert curve.count("M") == 2
    assert [y for part in curve.split("M")[1:] for _, y in points(part)][0] > (TOP + BOTTOM) / 2
    assert {y for _, y in points(flat)} == {(TOP + BOTTOM) / 2}


@pytest.mark.parametrize(("highest", "reach"), [(0.4, 6), (7, 12), (-15, 18), (22, 30)])
def test_measured_response_has_room_for_its_highest(highest, reach):
    plot = response_plot([(100.0, highest), (1000.0, 0.0), (25.0, -60.0)], "As measured")

    assert (plot.up.low, plot.up.high) == (-reach, reach)
    assert [said for _, said in plot.up.labels if said.startswith("0")] == ["0 dB"]
