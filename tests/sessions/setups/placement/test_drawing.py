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
    assert [stroke.path for stroke in drawing.strokes].count("") == 1


@pytest.mark.parametrize("degrees", [0, 15, 45, 90, 135])
def test_axis_points_as_many_degrees_beside_the_source(degrees):
    axis = next(
        stroke.path for stroke in drawn(angle_deg=Decimal(degrees)).strokes if "L" in stroke.path
    )

    x1, y1, x2, y2 = map(float, re.findall(r"-?[\d.]+", axis)[:4])
    assert math.degrees(math.atan2(y2 - y1, x1 - x2)) == pytest.approx(degrees, abs=0.2)


@pytest.mark.parametrize(
    ("orientation", "direction"),
    [(Orientation.UPRIGHT, "v18"), (Orientation.HUNG, "v-18"), (Orientation.SIDEWAYS, "h18")],
)
def test_microphone_hangs_stands_or_lies(orientation, direction):
    body = drawn(orientation=orientation).strokes[2].path

    assert direction in body.partition("M")[2].split("h14")[0].split("v14")[0]
