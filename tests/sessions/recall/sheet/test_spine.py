"""A chain along its signal path: units, and what joins them."""

import pytest

from sessions.setups.models import Path
from sessions.setups.patching.plugs import How
from tests.factories import PatchPointFactory, StageFactory, TakeFactory
from tests.sessions.recall.patched import patched_vocal, sheet_of
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db


@pytest.fixture
def spine():
    (chain,) = sheet_of(patched_vocal()).chains
    return chain.spine


def tag(place):
    return place.sheet.stage.facts.unit.asset_tag


def test_each_unit_stands_behind_the_wire_that_feeds_it(spine):
    fed = {tag(place): place.wire and place.wire.feeder.stage.position for place in spine.places}

    assert fed == {"M-01": None, "P-01": 1, "C-01": 2, "D-07": 3}
    assert [place.wire.is_printed for place in spine.places[1:]] == [True, True, False]
    assert spine.out.feeder.stage.position == 3
    assert spine.out.is_printed


def test_wire_names_its_cord_the_line_of_the_wall_box_and_what_it_breaks(spine):
    (microphone,), (preamplifier,) = (place.wire.plugs for place in spine.places[1:3])

    assert (microphone.how, microphone.number) == (How.CORD, 1)
    assert [use.tie_line for use in microphone.tie_lines] == ["Loft, box 1 1"]
    assert (preamplifier.how, preamplifier.number) == (How.CORD, 2)
    assert [str(broken.upper) for broken in preamplifier.broken] == ["Bay 1 A4 Effect out"]
    assert [str(tap.lower) for tap in preamplifier.taps] == ["Bay 1 B2 Recorder in 2"]


def test_wire_without_a_jack_is_direct(spine):
    (heard,) = spine.places[3].wire.plugs

    assert (heard.how, heard.number) == (How.DIRECT, None)


def test_levels_stand_in_columns_with_a_dash_where_unknown(spine):
    assert spine.places[1].wire.columns.split() == ["−31.8", "–", "–", "36.0"]


def test_jack_that_no_wire_names_is_kept_and_so_is_the_level_of_what_feeds_nothing(part):
    """[out of the wall: A-2] -- [A-1, into the effect] alone, only heard"""
    revision = chain_of(part)
    point = PatchPointFactory(row="A", column=1)
    StageFactory(revision=revision, position=1, path=Path.MONITOR_ONLY, patch_in=point)
    take = record(TakeFactory(part=part, circled=True), revision)

    (place,) = sheet_of(take).chains[0].spine.places

    assert place.wire is None
    assert place.patched_in.pk == point.pk
    assert place.patched_out is None
    assert place.is_last
    assert {figure for _name, figure in place.sheet.levels} == {"–"}
