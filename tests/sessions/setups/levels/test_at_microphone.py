"""How loud the source is at the microphone, and what is said where that is not known."""

from decimal import Decimal

import pytest

from gear.panels.models import Meaning
from sessions.setups.levels.at_microphone import AS_STRAIGHT_ON
from sessions.setups.levels.plan import level_plan
from tests.sessions.setups.in_memory import microphone, revision, stage, switch, unit


def from_the_side(*, pattern, angle=90, stages=()):
    """94 dB SPL at a microphone that looks so many degrees beside the source."""
    chain = revision(*(stages or [stage(microphone())]), source_spl_db=94, placement=Decimal(20))
    chain.placement.pattern, chain.placement.angle_deg = pattern, Decimal(angle)
    return level_plan(chain)


def test_source_heard_from_half_the_distance_is_6_db_louder():
    chain = revision(
        stage(microphone()), source_spl_db=94, source_distance_cm=30, placement=Decimal(15)
    )

    assert level_plan(chain).spl_db == pytest.approx(100.02, abs=0.005)


@pytest.mark.parametrize(("angle", "heard"), [(0, 94), (90, 87.98), (-90, 87.98), (180, 94)])
def test_source_from_the_side_is_softer_by_the_pattern(angle, heard):
    """A cardioid hears 6.02 dB less from its side, and nothing from behind: that is said."""
    chain = revision(stage(microphone()), source_spl_db=94, placement=Decimal(20))
    chain.placement.pattern, chain.placement.angle_deg = "Cardioid", Decimal(angle)

    plan = level_plan(chain)

    assert plan.spl_db == pytest.approx(heard, abs=0.005)
    assert bool(plan.missing) == (angle == 180)


@pytest.mark.parametrize(
    ("pattern", "said"),
    [
        ("as it came", "The pattern “as it came” is not known."),
        ("", "The microphone’s pattern is not logged."),
        ("shotgun", "What a lobar pattern takes off at the side is not reckoned."),
        ("fig 8", "The microphone stands with its null to the source."),
    ],
)
def test_pattern_that_tells_nothing_is_said(pattern, said):
    plan = from_the_side(pattern=pattern)

    assert plan.spl_db == 94
    assert plan.missing == (f"{said} {AS_STRAIGHT_ON}",)


def test_fig_8_hears_fifteen_decibels_less_from_eighty_degrees():
    """20 log10(cos 80°) = -15.21 dB: as far off as counting it straight on was."""
    plan = from_the_side(pattern="fig 8", angle=80)

    assert plan.spl_db == pytest.approx(94 - 15.21, abs=0.005)
    assert plan.missing == ()


@pytest.mark.parametrize("pattern", ["", "as it came", "Cardioid"])
def test_straight_on_no_pattern_is_needed(pattern):
    plan = from_the_side(pattern=pattern, angle=0)

    assert (plan.spl_db, plan.missing) == (94, ())


def test_pattern_that_is_switched_counts_where_the_placement_names_none():
    """[mic] -- [supply: switched to cardioid]"""
    supply = unit(switch("Pattern", Meaning.PATTERN, ("omni", "card.")))
    path = [stage(microphone()), stage(supply, {"pattern": 1})]

    plan = from_the_side(pattern="", stages=path)

    assert plan.spl_db == pytest.approx(87.98, abs=0.005)
    assert plan.missing == ()
