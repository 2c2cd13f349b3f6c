"""Each rule where it speaks and where it keeps still. What they rest on is said in each test;
the numbers are common practice, no source, unless a standard is named."""

import pytest

from gear.panels.models import Meaning
from sessions.setups.models import Orientation
from sessions.setups.warnings.placement import (
    hung_upside_down,
    pattern_differs,
    pop_filter_beyond_source,
)
from tests.factories import (
    PanelFactory,
    PlacementFactory,
    RevisionFactory,
)
from tests.sessions.setups.building import (
    loaded,
    microphone,
    stage,
    supply,
    switch,
)

pytestmark = pytest.mark.django_db


def test_what_hangs_is_held_by_more_than_its_cable():
    """Common practice, no source: no cable bears a load over people’s heads."""
    placement = PlacementFactory(orientation=Orientation.HUNG)

    [warning] = hung_upside_down(loaded(placement.revision))

    assert warning.advice.startswith("The makers’ instructions and local rules come first.")
    for held_by in ("A cable is no safety line", "locking mount", "counterweighted", "rated for"):
        assert held_by in warning.advice
    assert warning.is_safety


def test_upright_or_not_placed_needs_no_such_caution():
    upright = PlacementFactory(orientation=Orientation.UPRIGHT)

    assert list(hung_upside_down(loaded(upright.revision))) == []
    assert list(hung_upside_down(loaded(RevisionFactory()))) == []


PATTERNS = [
    {"value": 0, "angle": 0, "label": "omni"},
    {"value": 1, "angle": 1, "label": "cardioid"},
]


@pytest.mark.parametrize(
    ("placed", "switched", "warns"),
    [("Cardioid", 0, True), ("Cardioid", 1, False), ("Omnidirectional", 0, False)]
    + [("", 0, False), ("as she likes it", 0, False), ("Cardioid", None, False)],
)
def test_pattern_of_the_placement_against_that_of_the_supply(placed, switched, warns):
    """[mic: placed as cardioid] -- [supply: switched to omni]"""
    revision, unit = RevisionFactory(), supply()
    panel = PanelFactory(model=unit.model)
    switch(panel, key="pattern", label="Pattern", meaning=Meaning.PATTERN, marks=PATTERNS)
    stage(revision, microphone())
    stage(revision, unit, settings={} if switched is None else {"pattern": switched})
    PlacementFactory(revision=revision, pattern=placed)

    found = [warning.stage.unit for warning in pattern_differs(loaded(revision))]

    assert found == ([unit] if warns else [])


@pytest.mark.parametrize(
    ("pop_filter_cm", "distance_cm", "warns"),
    [(30, 22, True), (22, 22, True), (12, 22, False), (None, 22, False), (30, None, False)],
)
def test_pop_filter_beyond_the_singer(pop_filter_cm, distance_cm, warns):
    """[mic] .. singer at 22 cm .. pop filter at 30 cm"""
    placement = PlacementFactory(pop_filter_cm=pop_filter_cm, distance_cm=distance_cm)

    assert bool(list(pop_filter_beyond_source(loaded(placement.revision)))) == warns
