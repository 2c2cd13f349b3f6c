"""The drawing of a placement says the same as its figures."""

import math
import re
from decimal import Decimal

import pytest

from sessions.setups.models import Orientation, Placement
from sessions.setups.placement.drawing import placement_drawing


def drawn(**measured):
    return placement_drawing(Placement(**measured), "Placement")


def written(drawing):
    return {words.text for words in drawing.words}


def test_every_figure_stands_in_the_drawing():
    drawing = drawn(
        distance_cm=Decimal("22.5"),
        height_cm=Decimal(160),
        angle_deg=Decimal(15),
        orientation=Orientation.HUNG,
        pop_filter=True,
        pop_filter_cm=Decimal(8),
    )

    assert written(drawing) == {
        "22.5 cm",
        "160 cm",
        "axis 15°",
        "pop filter 8 cm",
    }


def test_what_was_not_measured_is_said_and_has_no_axis():
    drawing = drawn()

    assert written(drawing) == {"not measured"}
    assert arrows(drawing) == []


def arrows(drawing):
    """Of each axis its angle on the sheet, in degrees: 0 to the left, then turning downwards."""
    found = []
    for stroke in drawing.strokes:
        if not (stroke.width == 2 and "L" in stroke.path):
            continue
        x1, y1, x2, y2 = map(float, re.findall(r"-?[\d.]+", stroke.path)[:4])
        found.append((round(math.degrees(math.atan2(y2 - y1, x1 - x2))), stroke.dash))
    return found


@pytest.mark.parametrize("degrees", [15, 45, 90, 135])
@pytest.mark.parametrize(
    ("towards", "from_the_side", "from_above"),
    [
        ("above", -1, None),
        ("below", 1, None),
        ("right", 0, -1),  # who looks to the left of the sheet has the right hand at its top
        ("left", 0, 1),
    ],
)
def test_axis_points_as_many_degrees_to_that_side_of_the_source(
    degrees, towards, from_the_side, from_above
):
    drawing = drawn(angle_deg=Decimal(degrees), angle_towards=towards)

    straight = 180 if degrees > 90 else 0
    (side, dash), *above = arrows(drawing)
    assert side == pytest.approx(from_the_side * degrees or straight, abs=1)
    assert dash == 0
    assert [angle for angle, _ in above] == (
        [] if from_above is None else [pytest.approx(from_above * degrees, abs=1)]
    )
    assert ("from above" in written(drawing)) is (from_above is not None)


def test_axis_between_two_sides_is_drawn_from_the_side_and_from_above():
    """30° towards above left: half the sine of 45° to each, so 22.2° in both views."""
    drawing = drawn(angle_deg=Decimal(30), angle_towards="above_left")

    assert arrows(drawing) == [(-22, 0), (22, 0)]
    assert "above, left" in written(drawing)


def test_axis_of_which_nobody_logged_the_side_is_dashed_to_both():
    assert arrows(drawn(angle_deg=Decimal(30))) == [(30, 3), (-30, 3)]
    assert arrows(drawn(angle_deg=Decimal(0))) == [(0, 0)]


@pytest.mark.parametrize(
    ("orientation", "direction"),
    [(Orientation.UPRIGHT, "v18"), (Orientation.HUNG, "v-18"), (Orientation.SIDEWAYS, "h18")],
)
def test_microphone_hangs_stands_or_lies(orientation, direction):
    body = drawn(orientation=orientation).strokes[2].path

    assert direction in body.partition("M")[2].split("h14")[0].split("v14")[0]
