"""Common practice, no source: what a browser may send as a drawn signature, and what it may not."""

import json
from io import BytesIO

import pytest
from lxml import etree

from sessions.signing.strokes import (
    HEIGHT,
    MOST_LINES,
    MOST_POINTS,
    WIDTH,
    NotDrawn,
    ink,
    lines_of,
    path,
)


def test_lines_are_read_as_they_were_drawn():
    assert lines_of("[[0, 0, 1200, 400], [7, 9]]") == [[0, 0, 1200, 400], [7, 9]]


@pytest.mark.parametrize("nothing", ["", "  ", "[]"])
def test_nothing_drawn_is_no_line(nothing):
    assert lines_of(nothing) == []


@pytest.mark.parametrize(
    "text",
    [
        "no JSON",
        "{}",
        "[[]]",
        "[[1]]",
        "[[1, 2, 3]]",
        "[1, 2]",
        "[[1, 2, null, 3]]",
        "[[1, 2, 1.5, 900]]",
        "[[1, 2, true, 900]]",
        "[[1, 2, NaN, 900]]",
        '[["1", "2"]]',
        "[[-1, 2, 900, 2]]",
        f"[[0, 0, {WIDTH + 1}, 0]]",
        f"[[0, 0, 0, {HEIGHT + 1}]]",
        f"[[0, 0, {'9' * 5000}, 0]]",
        "[" * 70_000,
        "[[0, 0, 900, 0]]" + " " * 90_000,
        json.dumps([[0, 0, 900, 0]] * (MOST_LINES + 1)),
    ],
)
def test_what_is_no_drawing_of_ours_is_refused(text):
    with pytest.raises(NotDrawn, match="draw it again"):
        lines_of(text)


def test_drawing_that_never_ends_is_refused():
    endless = [[0, 0, 9, 9] * (MOST_POINTS // 2 + 1)]

    with pytest.raises(NotDrawn, match="too long"):
        lines_of(json.dumps(endless))


@pytest.mark.parametrize("dot", ["[[5, 5]]", "[[5, 5, 60, 5], [9, 9]]"])
def test_dot_is_no_signature(dot):
    with pytest.raises(NotDrawn, match="only a dot"):
        lines_of(dot)


def test_ink_is_as_long_as_its_lines():
    """3, 4, 5: Euclid’s triangle."""
    assert ink([[0, 0, 3, 4], [10, 10, 10, 17]]) == 12


def test_path_is_one_that_svg_knows():
    """SVG 2, section 9.3: M and L with pairs of numbers, h with one."""
    drawn = path([[1, 2, 3, 4, 5, 6], [7, 8]])

    assert drawn == "M1 2L3 4L5 6M7 8h.1"
    assert etree.parse(BytesIO(f'<path d="{drawn}"/>'.encode())).getroot().get("d") == drawn
