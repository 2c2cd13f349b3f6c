"""Chains are drawn [unit]; a knob runs from 0 to 60 dB over 300 degrees, so 1 dB is 5 degrees."""

from decimal import Decimal

import pytest

from gear.panels.models import Meaning
from sessions.setups.comparing.comparison import compare
from sessions.setups.models import Chain, Placement, Source
from tests.sessions.setups.in_memory import knob, microphone, revision, stage, switch, unit


def preamplifier(tag=""):
    return unit(knob("Gain", Meaning.GAIN), switch("Phantom", words=("off", "on")), tag=tag)


def words(comparison):
    return [(found.stage.unit.asset_tag, found.word) for found in comparison.changed_stages]


def test_two_equal_revisions_have_no_difference():
    mic, pre = microphone(), preamplifier()

    same = compare(
        revision(stage(mic), stage(pre, {"gain": 35})),
        revision(stage(mic), stage(pre, {"gain": 35})),
    )

    assert same.is_same
    assert same.beyond_tolerance == 0


@pytest.mark.parametrize(
    ("gain", "difference", "travel", "is_beyond"),
    [(36, "+1 dB", "5°", False), (36.1, "+1.1 dB", "6°", True), (20, "−15 dB", "75°", True)],
)
def test_control_differs_in_its_unit_and_in_travel(gain, difference, travel, is_beyond):
    """The tolerance is 5 degrees; at 5 a control is still within it."""
    pre = preamplifier()

    found = compare(revision(stage(pre, {"gain": 35})), revision(stage(pre, {"gain": gain})))

    [control] = found.changed_stages[0].controls
    assert (control.travel.difference, control.travel.words) == (difference, travel)
    assert control.is_beyond == is_beyond
    assert found.beyond_tolerance == int(is_beyond)


def test_switch_has_no_tolerance():
    pre = preamplifier()

    found = compare(revision(stage(pre, {"phantom": 0})), revision(stage(pre, {"phantom": 1})))

    [control] = found.changed_stages[0].controls
    assert (control.before, control.after, control.travel.words) == ("off", "on", "1 position")
    assert control.is_beyond


def test_control_that_one_side_did_not_log_has_no_travel():
    pre = preamplifier()

    found = compare(revision(stage(pre, {"gain": 35})), revision(stage(pre)))

    [control] = found.changed_stages[0].controls
    assert (control.after, control.travel, control.is_beyond) == ("not logged", None, True)


def test_panels_of_two_versions_are_matched_by_key():
    """Version 2 has a shorter gain scale and a knob more; the gain itself is the same."""
    pre = preamplifier()
    wider = [
        knob("Gain", Meaning.GAIN, low=0, high=40),
        knob("Trim", Meaning.OUTPUT, low=-10, high=10),
    ]

    found = compare(
        revision(stage(pre, {"gain": 30})),
        revision(stage(pre, {"gain": 30, "trim": 0}, panel_version=2, controls=wider)),
    )

    [changed] = found.changed_stages
    assert [fact.label for fact in changed.facts] == ["Panel"]
    assert [(c.label, c.before) for c in changed.controls] == [("Trim", "not on the panel")]


def test_unit_put_in_and_unit_taken_out():
    """[M] -- [P1]   ->   [M] -- [C] -- [P1] without D"""
    mic, pre, compressor, effect = (unit(tag=tag) for tag in ("M", "P1", "C", "D"))

    found = compare(
        revision(stage(mic), stage(pre), stage(effect)),
        revision(stage(mic), stage(compressor), stage(pre)),
    )

    assert words(found) == [("C", "added"), ("D", "removed")]


def test_only_the_stage_that_was_moved_counts_as_moved():
    """[A] -- [B] -- [C] -- [D]   ->   [D] -- [A] -- [B] -- [C]"""
    units = [unit(tag=tag) for tag in "ABCD"]

    found = compare(revision(*map(stage, units)), revision(*map(stage, [units[3], *units[:3]])))

    assert words(found) == [("D", "moved")]


def test_other_unit_of_the_same_model_stands_in_for_it():
    """[P1 35 dB]   ->   [P2 40 dB]"""
    first = preamplifier("P1")
    second = preamplifier("P2")
    second.model = first.model

    found = compare(revision(stage(first, {"gain": 35})), revision(stage(second, {"gain": 40})))

    assert words(found) == [("P2", "another unit")]
    assert [control.travel.words for control in found.changed_stages[0].controls] == ["25°"]


def test_facts_of_stage_chain_and_placement_differ_in_words():
    pre = preamplifier()
    before = revision(stage(pre, note="left channel"), placement=Decimal(20), tone_dbu=-40)
    after = revision(
        stage(pre, path="monitor"), chain=Chain(source=Source(name="Tenor voice"), track="Ld Vox")
    )
    after.placement = Placement(
        distance_cm=Decimal("22.5"),
        angle_towards="above_left",
        orientation="hung",
        stand="Tall boom",
        cable="No. 14",
        across_cm=Decimal(-30),
    )

    found = compare(before, after)

    assert [(f.label, f.before, f.after) for f in found.facts] == [
        ("Source", "Alto voice", "Tenor voice"),
        ("Test tone, level", "−40.0 dBu", "empty"),
    ]
    assert [(f.label, f.before, f.after) for f in found.placement] == [
        ("Distance", "20 cm", "22.5 cm"),
        ("Axis points", "empty", "Above and left of the source"),
        ("Orientation", "empty", "Hung upside down"),
        ("Stand", "empty", "Tall boom"),
        ("Cable", "empty", "No. 14"),
        ("To the right of the group’s middle", "empty", "−30 cm"),
    ]
    assert [(f.label, f.before, f.after) for f in found.changed_stages[0].facts] == [
        ("Path", "Printed", "Monitor only"),
        ("Note", "left channel", "empty"),
    ]
