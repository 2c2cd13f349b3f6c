"""Chains are drawn [unit settings] -- [unit]; levels are worked out by hand beside them."""

from gear.audio.proving.explaining.proposal import Move
from gear.panels.models import Meaning
from sessions.recall.proving.harm import harm_in
from tests.sessions.setups.in_memory import knob, revision, stage, unit


def preamplifier(**facts):
    return unit(knob("Gain", Meaning.GAIN), tag="P-01", **{"max_output_dbu": 24} | facts)


def up(to, position=1):
    return [Move(f"{position}:gain", "gain", "dB", 30, to, 30, False, abs(to - 30))]


def judged(*stages, moves, fed_dbu=None, **facts):
    made = revision(*stages, **facts)
    return harm_in(made, stages, fed_dbu)(moves)


def test_turn_that_leaves_room_is_no_harm():
    """-10 dBu into [pre +30], at most 24: 20 dBu; 33 dB give 23."""
    pre = stage(preamplifier(), {"gain": 30})

    assert judged(pre, moves=up(33), source_dbu=-10, full_scale_dbu=26) == ""


def test_turn_that_drives_an_output_beyond_its_maximum():
    """40 dB give 30 dBu."""
    pre = stage(preamplifier(), {"gain": 30})

    said = judged(pre, moves=up(40), source_dbu=-10, full_scale_dbu=40)

    assert said == "By the logged levels it would drive P-01 6 dB beyond its maximum."


def test_level_that_is_too_high_already_may_go_down():
    pre = stage(preamplifier(), {"gain": 40})

    assert judged(pre, moves=up(36), source_dbu=-10, full_scale_dbu=40) == ""


def test_converter_that_would_clip():
    pre = stage(preamplifier(), {"gain": 30})

    said = judged(pre, moves=up(33), source_dbu=-10, full_scale_dbu=22)

    assert "the converter beyond full scale" in said


def test_what_was_read_counts_where_no_level_of_the_source_is_logged():
    """20 dBu were read behind 30 dB: 6 dB more are 26."""
    pre = stage(preamplifier(), {"gain": 30}, reading_out_dbu=20)

    assert "2 dB beyond its maximum" in judged(pre, moves=up(36))
    assert judged(pre, moves=up(33)) == ""


def test_test_file_that_would_clip():
    """Fed at -8 dBu, 36 dB give 28: P-01 has 24, so -12 is the most."""
    pre = stage(preamplifier(), {"gain": 30})

    said = judged(pre, moves=up(36), fed_dbu=-8, full_scale_dbu=40)

    assert said == (
        "The test file, as loud as it is fed, would drive the output of P-01 beyond its maximum."
    )
    assert judged(pre, moves=up(31), fed_dbu=-8, full_scale_dbu=40) == ""
