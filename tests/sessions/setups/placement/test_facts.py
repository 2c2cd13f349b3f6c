from decimal import Decimal

import pytest

from sessions.setups.models import Orientation, Placement
from sessions.setups.placement.facts import placement_facts


def facts(**measured):
    return dict(placement_facts(Placement(**measured)))


def test_all_that_was_measured_stands_in_words_and_figures():
    placed = facts(
        distance_cm=Decimal("22.5"),
        height_cm=Decimal("160.0"),
        angle_deg=Decimal("15.0"),
        angle_towards="above_left",
        orientation=Orientation.HUNG,
        pattern="Cardioid",
        pop_filter=True,
        pop_filter_cm=Decimal("8.0"),
        stand="Tall boom",
        cable="No. 14, 10 m",
        across_cm=Decimal(-40),
        along_cm=Decimal("12.5"),
    )

    assert placed == {
        "Distance": "22.5 cm from the capsule to the source",
        "Height": "160 cm from the floor to the capsule",
        "Angle": "15°, its axis points above and left of the source",
        "Orientation": "hung upside down",
        "Pattern": "Cardioid",
        "Pop filter": "in place, 8 cm from the capsule",
        "Stand": "Tall boom",
        "Cable": "No. 14, 10 m",
        "Position": "40 cm to the left, 12.5 cm in front, from its group’s middle",
    }


def test_what_nobody_wrote_down_is_said():
    placed = facts()

    assert placed == {
        "Distance": "not measured",
        "Height": "not measured",
        "Angle": "not measured",
        "Orientation": "not logged",
        "Pattern": "not logged",
        "Pop filter": "none",
        "Stand": "not logged",
        "Cable": "not logged",
    }


@pytest.mark.parametrize(
    ("measured", "name", "words"),
    [
        ({"angle_deg": Decimal(0)}, "Angle", "0°, straight at the source"),
        (
            {"angle_deg": Decimal(15)},
            "Angle",
            "15° between its axis and the source, direction not logged",
        ),
        (
            {"angle_towards": "left"},
            "Angle",
            "not measured, its axis points left of the source",
        ),
        ({"along_cm": Decimal(-5)}, "Position", "5 cm behind, from its group’s middle"),
        ({"distance_cm": Decimal(0)}, "Distance", "0 cm from the capsule to the source"),
        ({"pop_filter": True}, "Pop filter", "in place, not measured"),
    ],
)
def test_zero_is_a_figure_and_a_missing_one_is_not(measured, name, words):
    assert facts(**measured)[name] == words


@pytest.mark.parametrize(
    ("pattern", "said"),
    [("as it came", "as it came (not a known pattern)"), ("fig 8", "fig 8"), ("", "not logged")],
)
def test_pattern_that_is_not_known_is_written_as_it_was_and_said(pattern, said):
    assert facts(pattern=pattern)["Pattern"] == said
