import pytest
from lxml import etree

from sessions.deliverables.waveform import draw_waveform

SVG = "{http://www.w3.org/2000/svg}"


def test_the_outline_is_one_shape_over_the_highs_and_back_under_the_lows():
    drawing = etree.fromstring(draw_waveform([(-500, 700), (-20, 10)], title="A mix"))

    assert [part.tag for part in drawing] == [f"{SVG}title", f"{SVG}path"]
    assert drawing[1].get("d") == "M0 -700 1 -10 1 20 0 500Z"
    assert drawing[1].get("fill") == "currentColor"
    assert drawing.get("viewBox") == "0 -1000 1 2000"


def test_the_title_is_text_whatever_the_file_is_called():
    name = "<script>alert(1)</script> & “Möwe”"

    drawing = etree.fromstring(draw_waveform([(0, 0)] * 3, title=name))

    assert drawing[0].text == name


@pytest.mark.parametrize("columns", [[], [(0, 0)]])
def test_next_to_nothing_still_makes_a_picture(columns):
    drawing = etree.fromstring(draw_waveform(columns, title="Silence"))

    assert drawing[1].get("d").startswith("M0 0")
    assert drawing.get("viewBox") == "0 -1000 1 2000"
