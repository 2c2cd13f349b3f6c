"""Chains are drawn [unit settings] -- [unit]; levels are worked out by hand beside them."""

from decimal import Decimal

import pytest

from gear.equipment.models import Category
from gear.panels.models import Meaning
from sessions.setups.levels.plan import level_plan
from tests.sessions.setups.in_memory import knob, meter, microphone, revision, stage, switch, unit


def preamplifier(**facts):
    return unit(
        knob("Gain", Meaning.GAIN),
        switch("Pad", Meaning.PAD, words=("0 dB", "20 dB"), unit="dB"),
        **{"max_output_dbu": 26} | facts,
    )


def compressor():
    return unit(
        knob("Threshold", Meaning.THRESHOLD, low=-30, high=10, unit="dBu"),
        knob("Ratio", Meaning.RATIO, low=1, high=10, unit=":1"),
        knob("Makeup", Meaning.MAKE_UP, high=20),
        switch("Circuit", Meaning.BYPASS),
        meter("Reduction"),
        category=Category.COMPRESSOR,
    )


SQUEEZED = {"threshold": 0, "ratio": 4, "makeup": 2, "circuit": 1, "reduction": 3}


def levels(plan):
    return [None if s.out_dbu is None else round(s.out_dbu, 2) for s in plan.stages]


def test_levels_run_from_sound_pressure_to_the_converter():
    """20 mV/Pa at 94 dB SPL is -31.76 dBu; + 35 dB = 3.24; - 3 + 2 = 2.24; of 18: -15.76 dBFS"""
    chain = revision(
        stage(microphone()),
        stage(preamplifier(), {"gain": 35, "pad": 0}),
        stage(compressor(), SQUEEZED),
        source_spl_db=94,
    )

    plan = level_plan(chain)

    assert levels(plan) == [-31.76, 3.24, 2.24]
    assert plan.converter_dbfs == pytest.approx(-15.76, abs=0.005)
    assert plan.source == "94.0 dB SPL at the microphone"
    assert plan.missing == ()


def test_source_by_cable_starts_in_dbu():
    chain = revision(stage(preamplifier(), {"gain": 20, "pad": 0}), source_dbu=Decimal(-20))

    assert levels(level_plan(chain)) == [0]


def test_gain_that_is_not_logged_leaves_the_level_unknown_until_a_reading_takes_it_up():
    """[mic] -- [pre, gain ?] -- [pre +10]  read +4 after the first preamplifier"""
    chain = revision(
        stage(microphone()),
        stage(preamplifier(), {"pad": 0}, reading_out_dbu=Decimal(4)),
        stage(preamplifier(), {"gain": 10, "pad": 0}),
        source_spl_db=94,
    )

    plan = level_plan(chain)

    assert levels(plan) == [-31.76, None, 14]
    assert "Not logged: Gain." in plan.stages[1].notes[0]


def test_nothing_is_told_without_a_source():
    plan = level_plan(revision(stage(microphone()), stage(preamplifier(), {"gain": 35, "pad": 0})))

    assert levels(plan) == [None, None]
    assert (plan.converter_dbfs, plan.clips_first) == (None, None)
    assert plan.missing == ("The source’s level is not logged.",)


def test_microphone_without_a_sensitivity_says_so():
    plan = level_plan(revision(stage(microphone(sensitivity_mv_pa=None)), source_spl_db=94))

    assert "sensitivity of Saltmarsh microphone is not given" in plan.missing[0]


def test_reading_is_held_against_the_plan():
    """A meter reads -1 about a nominal level of +4: 3 dBu, where 3.24 was expected."""
    metered = unit(
        knob("Gain", Meaning.GAIN),
        meter("Level", Meaning.LEVEL_READING),
        nominal_level_dbu=4,
    )
    chain = revision(
        stage(microphone()), stage(metered, {"gain": 35, "level": -1}), source_spl_db=94
    )

    planned = level_plan(chain).stages[1]

    assert planned.read_dbu == 3
    assert planned.difference_db == pytest.approx(-0.24, abs=0.005)


@pytest.mark.parametrize(("unit_of_meter", "dbu"), [("dBu", -2), ("dBFS", 16), ("dB", None)])
def test_meter_is_read_in_its_own_unit(unit_of_meter, dbu):
    """Without a nominal level a meter in plain dB can't be compared, and that is said."""
    metered = unit(meter("Level", Meaning.LEVEL_READING, unit=unit_of_meter))

    [planned] = level_plan(revision(stage(metered, {"level": -2}))).stages

    assert planned.read_dbu == dbu
    assert bool(planned.notes) == (dbu is None)


def test_what_clips_and_what_clips_first():
    """-31.76 + 60 = 28.24 dBu out of 26: 2.24 too much; the converter has 18."""
    chain = revision(
        stage(microphone(max_spl_db=130)),
        stage(preamplifier(), {"gain": 60, "pad": 0}),
        source_spl_db=94,
    )

    plan = level_plan(chain)

    assert [planned.stage.position for planned in plan.clips] == [2]
    assert plan.converter_clips
    what, room = plan.clips_first
    assert (what, round(room, 2)) == ("The converter", -10.24)
    assert plan.stages[0].headroom_db == 36


def test_pad_takes_off_whichever_sign_it_carries():
    padded = unit(
        knob("Gain", Meaning.GAIN),
        knob("Pad", Meaning.PAD, low=-20, high=0),
    )
    chain = revision(stage(padded, {"gain": 20, "pad": -20}), source_dbu=Decimal(4))

    assert levels(level_plan(chain)) == [4]


def test_compressor_that_is_out_takes_nothing_off_and_adds_nothing():
    chain = revision(stage(compressor(), SQUEEZED | {"circuit": 0}), source_dbu=Decimal(4))

    [planned] = level_plan(chain).stages

    assert planned.out_dbu == 4
    assert planned.reduction.verdict is None


def test_gain_reduction_is_held_against_the_band_and_the_curve():
    """+4 dBu is 4 dB over a threshold of 0: at 4:1 the curve takes 3 dB."""
    chain = revision(
        stage(
            compressor(),
            SQUEEZED | {"reduction": -5},
            planned_reduction_low_db=Decimal(2),
            planned_reduction_high_db=Decimal(4),
        ),
        source_dbu=Decimal(4),
    )

    reduction = level_plan(chain).stages[0].reduction

    assert (reduction.read_db, reduction.expected_db) == (5, 3)
    assert reduction.verdict.severity == "caution"
    assert "more than the 2 to 4 dB planned" in reduction.verdict.sentence


def test_gain_reduction_that_was_not_read_leaves_the_level_unknown():
    settings = {name: value for name, value in SQUEEZED.items() if name != "reduction"}
    chain = revision(stage(compressor(), settings), source_dbu=Decimal(4))

    [planned] = level_plan(chain).stages

    assert planned.out_dbu is None
    assert planned.reduction.expected_db == 3


def test_monitor_only_stage_hangs_beside_the_recorded_path():
    """[pre +20] -- [monitor only +10] -- [pre +0]   the last is fed by the first"""
    chain = revision(
        stage(preamplifier(), {"gain": 20, "pad": 0}),
        stage(preamplifier(), {"gain": 10, "pad": 0}, path="monitor"),
        stage(preamplifier(), {"gain": 0, "pad": 0}),
        source_dbu=Decimal(-20),
    )

    assert levels(level_plan(chain)) == [0, 10, 0]


def test_noise_of_microphone_and_preamplifier():
    """14 dB(A) at 20 mV/Pa is -111.76 dBu, 15.76 above -127.52: the microphone is heard."""
    chain = revision(
        stage(microphone(self_noise_dba=14)),
        stage(preamplifier(equivalent_input_noise_dbu=Decimal("-127.5"))),
        source_spl_db=94,
    )

    noise = level_plan(chain).noise

    assert noise.signal_to_noise_db == pytest.approx(79.9, abs=0.05)
    assert noise.sentence == "The microphone is noisier than the preamplifier, by 16 dB."


def test_noise_says_what_is_not_on_record():
    noise = level_plan(revision(stage(microphone()), source_spl_db=94)).noise

    assert noise.signal_to_noise_db is None
    assert noise.sentence.startswith("Neither the microphone’s self-noise nor")


def test_output_without_decibels_is_not_counted():
    box = unit(knob("Level", Meaning.OUTPUT, high=10, unit=""))
    chain = revision(stage(box, {"level": 5}), source_dbu=Decimal(4))

    [planned] = level_plan(chain).stages

    assert planned.out_dbu == 4
    assert planned.notes == ("Level has no scale in dB, so it is not counted.",)
