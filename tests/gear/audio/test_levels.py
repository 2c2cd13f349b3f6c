import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.levels import (
    StageGains,
    dbfs_from_dbu,
    dbu_from_dbfs,
    dbu_from_volts,
    gain_reduction_verdict,
    microphone_dbu,
    stage_level,
    volts_from_dbu,
)

levels = st.floats(min_value=-150, max_value=40)


@given(levels, levels)
def test_level_conversions_invert(dbu, full_scale_dbu):
    assert dbu_from_volts(volts_from_dbu(dbu)) == pytest.approx(dbu, abs=1e-9)
    assert dbu_from_dbfs(dbfs_from_dbu(dbu, full_scale_dbu), full_scale_dbu) == pytest.approx(
        dbu, abs=1e-9
    )


@pytest.mark.parametrize("volts", [0, -1])
def test_dbu_from_volts_refuses_what_has_no_level(volts):
    with pytest.raises(ValueError, match="needs a voltage above zero"):
        dbu_from_volts(volts)


def test_microphone_dbu_refuses_no_sensitivity():
    with pytest.raises(ValueError, match="sensitivity is above zero"):
        microphone_dbu(0, 94)


def test_stage_level_takes_pad_gain_reduction_and_make_up_in_their_order():
    """-40 dBu --[pre: pad 20, +60, 24 dBu in, 26 out]    0 dBu --[comp: -4, +6, 20 in, 20 out]"""
    pre = stage_level(-40, StageGains(gain_db=60, pad_db=20, max_input_dbu=24, max_output_dbu=26))
    comp = stage_level(
        0, StageGains(gain_reduction_db=4, make_up_db=6, max_input_dbu=20, max_output_dbu=18)
    )

    assert (pre.in_dbu, pre.out_dbu) == (-40, 0)
    assert (pre.input_headroom_db, pre.output_headroom_db) == (84, 26)
    assert (comp.in_dbu, comp.out_dbu) == (0, 2)
    assert (comp.input_headroom_db, comp.output_headroom_db) == (20, 16)
    assert (pre.headroom_db, comp.headroom_db) == (26, 16)


@pytest.mark.parametrize(
    ("gains", "headroom"),
    [
        (StageGains(gain_db=5), None),
        (StageGains(gain_db=9, max_output_dbu=18), -1),
        (StageGains(max_input_dbu=9), -1),
        (StageGains(max_input_dbu=10), 0),
    ],
)
def test_stage_has_room_below_the_limits_that_are_known(gains, headroom):
    assert stage_level(10, gains).headroom_db == headroom


def test_pad_protects_the_input_whichever_sign_it_is_written_with():
    for pad in (20, -20):
        stage = stage_level(30, StageGains(pad_db=pad, max_input_dbu=12))
        assert (stage.input_headroom_db, stage.out_dbu) == (2, 10)


def test_gain_reduction_counts_whichever_sign_it_is_read_with():
    for reduction in (4, -4):
        assert stage_level(0, StageGains(gain_reduction_db=reduction)).out_dbu == -4


@pytest.mark.parametrize("sensitivity", [12, 20])
def test_vocal_chain_starts_near_35_db_of_gain(sensitivity):
    """Common practice, no source: voice near 94 dB SPL, converter aligned at 0 dBu."""
    assert 0 - microphone_dbu(sensitivity, 94) == pytest.approx(35, abs=4)


@pytest.mark.parametrize(
    ("reduction", "severity", "sentence"),
    [
        (0, "note", "0 dB of gain reduction is less than the 3 to 4 dB planned."),
        (2.9, "note", "2.9 dB of gain reduction is less than the 3 to 4 dB planned."),
        (3, "ok", "3 dB of gain reduction is as planned."),
        (-4, "ok", "4 dB of gain reduction is as planned."),
        (4.1, "caution", "Back off: raise the threshold or lower the ratio."),
        (-10, "caution", "10 dB of gain reduction is more than the 3 to 4 dB planned."),
    ],
)
def test_gain_reduction_is_held_against_the_plan(reduction, severity, sentence):
    """Common practice, no source: a compressor on a voice is often planned at 3 to 4 dB."""
    verdict = gain_reduction_verdict(reduction, planned=(3, 4))

    assert verdict.severity == severity
    assert sentence in verdict.sentence
    assert verdict.basis == "the plan"


# Self-checks: worked out from the same formulas (94 dB SPL counts as 1 Pa), so that a change shows.


@pytest.mark.parametrize(
    ("sensitivity", "spl", "dbu", "volts"),
    [
        (20, 114, -11.76, 0.200),
        (1.85, 94, -52.44, 0.00185),
        (12, 74, -56.20, 0.0012),
        (8, 130, -3.72, 0.505),
    ],
)
def test_microphone_worked_outputs(sensitivity, spl, dbu, volts):
    output = microphone_dbu(sensitivity, spl)

    assert output == pytest.approx(dbu, abs=0.006)
    assert volts_from_dbu(output) == pytest.approx(volts, rel=1e-3)


@pytest.mark.parametrize(("sensitivity", "spl", "gain"), [(20, 114, 15.76), (1.85, 94, 56.44)])
def test_gain_that_a_preamplifier_needs_to_reach_plus_4_dbu(sensitivity, spl, gain):
    assert 4 - microphone_dbu(sensitivity, spl) == pytest.approx(gain, abs=0.006)
