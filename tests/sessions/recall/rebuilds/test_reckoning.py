"""The tone through what really stands there: the unit behind a gap is not blamed for it.

The sums are by hand: levels in dB add along a chain, and a compressor above its threshold with a ratio of
2:1 lets half of what is more through (the static curve of Giannoulis, Massberg and Reiss, JAES 60(6),
2012, hard knee).
"""

import pytest

from gear.panels.models import Control, Kind, Meaning
from sessions.recall.rebuilds.reckoning import Standing
from sessions.recall.rebuilds.tone import ReadNow, chain_tone
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.levels.tone import ToneStage
from tests.sessions.recall.rebuilds.test_tone import chain, wanted

LEFT_OUT = Standing(is_left_out=True)


def through(gain, words="another unit"):
    """Another unit with a gain control; gain None: nobody knows it."""
    control = wanted(1).controls[0]
    settings = {} if gain is None else {"gain": gain}
    stage = ToneStage("channel", True, StageControls([control], settings))
    return Standing(through=stage, words=words)


def now(*reads, **standing):
    """What was read from the first stage on; `at2=LEFT_OUT`: how the second stands."""
    return {
        at: ReadNow(dbu, standing=standing.get(f"at{at}", Standing()))
        for at, dbu in enumerate(reads, 1)
    }


def test_gain_of_a_unit_that_is_left_out_is_missed_by_nobody():
    """-40 -> [1: -5] -> [2: +4, left out] -> [3: +2]: 3 takes 2 dB off, so it reads -7"""
    found = chain_tone(
        chain(wanted(1, "-5"), wanted(2, "4"), wanted(3, "2")), now(-5, None, -7, at2=LEFT_OUT)
    )

    assert [stage.expected for stage in found.stages] == [-5, -5, -7]
    assert found.stages[2].deviation_db == 0
    assert found.first_out is None
    assert found.stages[2].grounds == ["reckoned: unit 2 is left out"]
    assert [stage.position for stage in found.in_use] == [1, 3]


def test_unit_behind_a_gap_is_still_blamed_for_its_own():
    found = chain_tone(
        chain(wanted(1, "-5"), wanted(2, "4"), wanted(3, "2")), now(-5, None, -4, at2=LEFT_OUT)
    )

    assert (found.first_out.position, found.first_out.step_db) == (3, 3)


def test_gap_whose_gain_nobody_knows_is_said_to_be_beyond_reckoning():
    found = chain_tone(
        chain(wanted(1, "-5"), wanted(2), wanted(3, "2")), now(-5, None, -9, at2=LEFT_OUT)
    )

    # A unit without any logged gain is none to this panel: nothing is known behind it.
    assert found.stages[2].expected is None
    assert found.stages[2].reckoned.why == "can’t be reckoned: unit 2 is left out"
    assert found.first_out is None


def test_another_unit_is_reckoned_as_it_is_set_and_what_follows_with_it():
    """[1: gain 35] -> [2 was 6 dB, another gives 2 dB] -> [3: 0 dB]"""
    found = chain_tone(
        chain(wanted(1, gain=35), wanted(2, gain=6), wanted(3, gain=0)),
        now(-5, None, -3, at2=through(2)),
    )

    assert [stage.expected for stage in found.stages] == [-5, -3, -3]
    assert found.first_out is None


def test_another_unit_of_unknown_gain_that_nobody_read_is_suspected_with_its_neighbour():
    stages = wanted(1, "-5"), wanted(2, "4"), wanted(3, "4")

    unread = chain_tone(chain(*stages), now(-5, None, 1, at2=through(None)))
    read = chain_tone(chain(*stages), now(-5, 1, 1, at2=through(None)))

    assert (unread.first_out.position, unread.first_out.suspects) == (3, [2])
    assert not unread.first_out.is_out_here
    assert (read.first_out.position, read.first_out.is_out_here) == (2, True)
    assert not read.stages[2].steps


def compressor(position, logged):
    """Threshold at -10 dBu, 2:1."""
    stage = wanted(position, logged)
    ends = [{"value": -40, "angle": -150}, {"value": 20, "angle": 150}]
    facts = {"kind": Kind.CONTINUOUS, "group": "", "marks": ends}
    controls = (
        Control(key="at", label="Threshold", unit="dBu", meaning=Meaning.THRESHOLD, **facts),
        Control(key="by", label="Ratio", unit=":1", meaning=Meaning.RATIO, **facts),
    )
    return stage.__class__(
        **{**vars(stage), "controls": controls, "settings": {"at": -10, "by": 2}}
    )


def test_through_a_compressor_the_missing_gain_counts_by_its_curve():
    """Then 0 dBu came in, 10 above: -5 out. Without the 6 dB before, -6 comes in: 4 above, -8 out"""
    found = chain_tone(
        chain(wanted(1, "-6"), wanted(2, "0"), compressor(3, "-5")), now(-6, None, -8, at2=LEFT_OUT)
    )

    assert found.stages[2].expected == pytest.approx(-8, abs=0.01)


def test_what_is_only_monitored_is_reckoned_by_what_feeds_it():
    """1 -> [2 left out] -> 4, and 3 monitors 2"""
    found = chain_tone(
        chain(wanted(1, "0"), wanted(2, "5"), wanted(3, "5", path="monitor"), wanted(4, "5")),
        now(0, None, 0, 0, at2=LEFT_OUT),
    )

    assert [stage.expected for stage in found.stages] == [0, 0, 0, 0]


def test_unit_left_out_whose_gain_was_none_changes_nothing():
    found = chain_tone(chain(wanted(1, "0"), wanted(2, "0"), wanted(3, "4")), now(0, at2=LEFT_OUT))

    assert found.stages[2].reckoned is None


def test_what_is_only_monitored_changes_nothing_on_the_recording():
    """-40 -> [1: -5] -> [3: +2], and beside it [2: monitor only, left out]: 3 reads as it was logged"""
    beside = wanted(2, "4", path="monitor only")

    found = chain_tone(
        chain(wanted(1, "-5"), beside, wanted(3, "2")), now(-5, None, 2, at2=LEFT_OUT)
    )

    assert found.stages[2].reckoned is None
    assert found.first_out is None
