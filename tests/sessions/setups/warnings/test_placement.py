"""Each rule where it speaks and where it keeps still. What they rest on is said in each test;
the numbers are common practice, no source, unless a standard is named."""

import pytest

from sessions.setups.models import Orientation
from sessions.setups.warnings.placement import hung_upside_down
from tests.factories import (
    PlacementFactory,
    RevisionFactory,
)
from tests.sessions.setups.building import (
    loaded,
)

pytestmark = pytest.mark.django_db


def test_hung_upside_down_fixes_the_cable_first():
    """Common practice, no source: the cable goes on before the microphone is hung."""
    placement = PlacementFactory(orientation=Orientation.HUNG)

    [warning] = hung_upside_down(loaded(placement.revision))

    assert warning.advice.startswith("A cable is no safety line")
    assert warning.is_safety


def test_upright_or_not_placed_needs_no_such_caution():
    upright = PlacementFactory(orientation=Orientation.UPRIGHT)

    assert list(hung_upside_down(loaded(upright.revision))) == []
    assert list(hung_upside_down(loaded(RevisionFactory()))) == []
