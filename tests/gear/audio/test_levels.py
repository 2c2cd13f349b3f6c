import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.levels import (
    StageGains,
    dbfs_from_dbu,
    dbu_from_dbfs,
    dbu_from_dbv,
    dbu_from_volts,
    dbv_from_dbu,
    gain_reduction_verdict,
    gain_to,
    microphone_dbu,
    stage_levels,
    volts_from_dbu,
)

levels = st.floats(min_value=-150, max_value=40)


@given(levels, levels)
def test_level_conversions_invert(dbu, full_scale_dbu):
    assert dbu_from_volts(volts_from_dbu(dbu)) == pytest.approx(dbu, abs=1e-9)
    assert dbu_from_dbv(dbv_from_dbu(dbu)) == pytest.approx(dbu, abs=1e-9)
    assert dbu_from_dbfs(dbfs_from_dbu(dbu, full_scale_dbu), full_scale_dbu) == pytest.approx(
        dbu, abs=1e-9
    )
    assert dbu + gain_to(full_scale_dbu, dbu) == pytest.approx(full_scale_dbu, abs=1e-9)


@pytest.mark.parametrize("volts", [0, -1])
def test_dbu_from_volts_refuses_what_has_no_level(volts):
    with pytest.raises(ValueError, match="needs a voltage above zero"):
        dbu_from_volts(volts)


def test_microphone_dbu_refuses_no_sensitivity():
    with pytest.raises(ValueError, match="sensitivity is above zero"):
        microphone_dbu(0, 94)


def test_stage_levels_follow_the_chain():
    """microphone -40 dBu --[pre +40, pad 20, 24 dBu in, 26 out]--[comp -4 +6, 20 in, 20 out]"""
    chain = stage_levels(
        -40,
        [
            StageGains(gain_db=60, pad_db=20, max_input_dbu=24, max_output_dbu=26),
            StageGains(gain_reduction_db=4, make_up_db=6, max_input_dbu=20, max_output_dbu=20),
        ],
    )

    pre, comp = chain.stages
    assert (pre.in_dbu, pre.out_dbu) == (-40, 0)
    assert (pre.input_headroom_db, pre.output_headroom_db) == (84, 26)
    assert (comp.in_dbu, comp.out_dbu) == (0, 2)
    assert (comp.input_headroom_db, comp.output_headroom_db) == (20, 18)
    assert (pre.headroom_db, comp.headroom_db) == (26, 18)
    assert chain.first_clipping is None
    assert chain.least_headroom == 1


def test_stage_levels_find_the_first_stage_that_clips():
    """source +10 --[unknown limits, +5]--[18 dBu out, +6]--[10 dBu in]"""
    chain = stage_levels(
        10,
        [
            StageGains(gain_db=5),
            StageGains(gain_db=6, max_output_dbu=18),
            StageGains(max_input_dbu=10),
        ],
    )

    assert [stage.clips for stage in chain.stages] == [False, True, True]
    assert chain.stages[0].headroom_db is None
    assert chain.first_clipping == 1
    assert chain.least_headroom == 2


def test_stage_levels_know_a_level_at_the_limit_does_not_clip():
    chain = stage_levels(4, [StageGains(max_input_dbu=4)])

    assert chain.stages[0].headroom_db == 0
    assert chain.first_clipping is None


def test_pad_protects_the_input_whichever_sign_it_is_written_with():
    for pad in (20, -20):
        (stage,) = stage_levels(30, [StageGains(pad_db=pad, max_input_dbu=12)]).stages
        assert (stage.input_headroom_db, stage.out_dbu) == (2, 10)


def test_gain_reduction_counts_whichever_sign_it_is_read_with():
    for reduction in (4, -4):
        (stage,) = stage_levels(0, [StageGains(gain_reduction_db=reduction)]).stages
        assert stage.out_dbu == -4


def test_empty_chain_has_nothing_to_clip():
    chain = stage_levels(0, [])

    assert chain.stages == ()
    assert chain.first_clipping is None
    assert chain.least_headroom is None


@given(levels, st.lists(st.floats(min_value=-60, max_value=60), max_size=6))
def test_gains_along_a_chain_add_up(source, gains):
    chain = stage_levels(source, [StageGains(gain_db=gain) for gain in gains])

    end = chain.stages[-1].out_dbu if chain.stages else source
    assert end == pytest.approx(source + math.fsum(gains), abs=1e-9)


@pytest.mark.parametrize("sensitivity", [12, 20])
def test_vocal_chain_starts_near_35_db_of_gain(sensitivity):
    """Common practice, no source: voice near 94 dB SPL, converter aligned at 0 dBu."""
    assert gain_to(0, microphone_dbu(sensitivity, 94)) == pytest.approx(35, abs=4)


@pytest.mark.parametrize(
    ("reduction", "severity", "sentence"),
    [
        (0, "note", "0 dB of gain reduction is light on a voice"),
        (2.9, "note", "2.9 dB of gain reduction is light on a voice"),
        (3, "ok", "3 dB of gain reduction is usual on a voice."),
        (-4, "ok", "4 dB of gain reduction is usual on a voice."),
        (4.1, "caution", "Back off: raise the threshold or lower the ratio."),
        (-10, "caution", "10 dB of gain reduction is more than a voice usually takes"),
    ],
)
def test_gain_reduction_verdict_keeps_to_3_to_4_db_on_a_voice(reduction, severity, sentence):
    """Common practice, no source."""
    verdict = gain_reduction_verdict(reduction)

    assert verdict.severity == severity
    assert sentence in verdict.sentence
    assert verdict.basis == "common practice"
