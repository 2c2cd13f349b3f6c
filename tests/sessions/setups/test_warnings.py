"""Each rule where it speaks and where it keeps still. What they rest on is said in each test;
the numbers are common practice, no source, unless a standard is named."""

import pytest

from gear.equipment.models import Category, Phantom, SignalLevel, Transducer
from gear.panels.models import Meaning
from sessions.setups.models import Orientation, Path
from sessions.setups.patching import NOTHING
from sessions.setups.warnings import (
    VOICE_STARTING_GAIN_DB,
    buffer_too_large,
    buffer_verdict,
    chain_warnings,
    gain_not_logged,
    gain_reduction_high,
    hung_upside_down,
    level_mismatch,
    monitor_only_before_printed,
    phantom_power,
    setup_warnings,
    supply_before_cable,
    unit_twice,
    valve_without_supply,
)
from tests.factories import (
    ChainFactory,
    GearModelFactory,
    PanelFactory,
    PatchPointFactory,
    PlacementFactory,
    RevisionFactory,
    SetupFactory,
    UnitFactory,
)
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    stage,
    supply,
    switch,
)

pytestmark = pytest.mark.django_db


def through_preamplifier(mic, settings):
    revision = RevisionFactory()
    stage(revision, mic)
    stage(revision, preamplifier(), settings=settings)
    return loaded(revision)


def said(warnings):
    return [warning.severity for warning in warnings]


@pytest.mark.parametrize(
    ("need", "p48", "severities"),
    [
        (Phantom.NEEDED, {"p48": 1}, []),
        (Phantom.NEEDED, {"p48": 0}, ["warning"]),
        (Phantom.NEEDED, {}, ["caution"]),
        (Phantom.HARMFUL, {"p48": 1}, ["warning"]),
        (Phantom.HARMFUL, {"p48": 0}, []),
        (Phantom.HARMFUL, {}, ["caution"]),
        (Phantom.HARMLESS, {"p48": 1}, ["note"]),
        (Phantom.HARMLESS, {"p48": 0}, []),
        (Phantom.HARMLESS, {}, []),
    ],
)
def test_phantom_power_against_what_the_microphone_needs(need, p48, severities):
    """[mic] -- [pre 48 V on, off or not logged]      P48 by IEC 61938: data rules of practice"""
    revision = through_preamplifier(microphone(phantom=need), p48)

    assert said(phantom_power(revision)) == severities


def test_phantom_power_on_a_passive_ribbon_warns_whatever_its_entry_says():
    mic = microphone(transducer=Transducer.RIBBON, phantom=Phantom.HARMLESS)

    [warning] = phantom_power(through_preamplifier(mic, {"p48": 1}))

    assert warning.severity == "warning"
    assert warning.is_safety
    assert "Switch it off" in warning.way_out
    assert warning.stage.position == 2


def test_phantom_power_of_an_active_ribbon_that_needs_it_is_right():
    mic = microphone(transducer=Transducer.ACTIVE_RIBBON, phantom=Phantom.NEEDED)

    assert list(phantom_power(through_preamplifier(mic, {"p48": 1}))) == []


def test_phantom_power_may_come_from_a_supply_between():
    """[mic] -- [supply 48 V on] -- [pre 48 V off]"""
    box = supply()
    switch(PanelFactory(model=box.model), key="p48", meaning=Meaning.PHANTOM)
    revision = RevisionFactory()
    stage(revision, microphone())
    stage(revision, box, settings={"p48": 1})
    stage(revision, preamplifier(), settings={"p48": 0})

    assert list(phantom_power(loaded(revision))) == []


def test_phantom_power_with_no_switch_after_the_microphone():
    """[mic] -- [comp]"""
    needed = revision_of(microphone(), compressor())
    harmful = revision_of(microphone(phantom=Phantom.HARMFUL), compressor())

    assert said(phantom_power(needed)) == ["caution"]
    assert said(phantom_power(harmful)) == []


def test_valve_microphone_without_its_supply_is_useless():
    """[valve mic] -- [pre]"""
    own = supply()
    mic = microphone(transducer=Transducer.VALVE, phantom=Phantom.HARMLESS)
    mic.supply = own
    mic.save()

    [warning] = valve_without_supply(revision_of(mic, preamplifier()))

    assert warning.severity == "warning"
    assert "useless" in warning.reason
    assert str(own) in warning.way_out


def test_valve_microphone_with_its_supply_is_right():
    """[valve mic] -- [its supply] -- [pre]"""
    mic = microphone(transducer=Transducer.VALVE)
    mic.supply = supply()
    mic.save()

    assert list(valve_without_supply(revision_of(mic, mic.supply, preamplifier()))) == []


def test_valve_microphone_on_the_supply_of_another():
    """[valve mic] -- [another supply] -- [pre]"""
    mic = microphone(transducer=Transducer.VALVE)
    mic.supply = supply()
    mic.save()

    assert said(valve_without_supply(revision_of(mic, supply(), preamplifier()))) == ["caution"]


def test_supply_goes_off_before_its_cable_is_touched():
    """Common practice, no source: unsafe to re-plug unless the microphone's own supply is off."""
    mic = microphone(own_supply=True, warm_up_minutes=20)

    [warning] = supply_before_cable(revision_of(mic, supply()))

    assert "unless the supply is off" in warning.way_out
    assert "20 minutes" in warning.way_out
    assert warning.is_safety


def test_microphone_without_a_supply_of_its_own_needs_no_such_caution():
    assert list(supply_before_cable(revision_of(microphone(), preamplifier()))) == []
    assert list(valve_without_supply(revision_of(microphone(), preamplifier()))) == []


def test_microphone_level_into_a_line_input():
    """[mic: microphone level] -- [comp: line in]"""
    comp = compressor()

    [warning] = level_mismatch(revision_of(microphone(), comp))

    assert (warning.severity, warning.stage.unit) == ("warning", comp)
    assert "preamplifier" in warning.way_out


def test_line_level_into_a_microphone_input():
    """[mic] -- [pre] -- [pre: microphone in]"""
    [warning] = level_mismatch(revision_of(microphone(), preamplifier(), preamplifier()))

    assert "overload" in warning.reason


def test_levels_that_fit():
    """[mic] -- [pre] -- [comp]"""
    assert list(level_mismatch(revision_of(microphone(), preamplifier(), compressor()))) == []


def test_level_of_the_patch_point_goes_before_that_of_the_model():
    """[mic] -- [channel: patched into its line input]"""
    channel = UnitFactory(model=GearModelFactory(category=Category.CHANNEL))
    line_in = PatchPointFactory(level=SignalLevel.LINE)
    revision = RevisionFactory()
    stage(revision, microphone())
    stage(revision, channel, patch_in=line_in)

    assert said(level_mismatch(loaded(revision))) == ["warning"]


def test_monitor_only_before_something_printed():
    """[mic] -- [box: monitor only] -- [pre: printed]"""
    revision = RevisionFactory()
    stage(revision, microphone())
    stage(revision, compressor(), path=Path.MONITOR_ONLY)
    stage(revision, preamplifier())

    [warning] = monitor_only_before_printed(loaded(revision))

    assert warning.stage.position == 2


def test_monitor_only_at_the_end_is_right():
    """[mic] -- [pre] -- [box: monitor only]"""
    revision = revision_of(microphone(), preamplifier())
    stage(revision, compressor(), path=Path.MONITOR_ONLY)

    assert list(monitor_only_before_printed(loaded(revision))) == []


@pytest.mark.parametrize(
    ("reading", "severities"),
    [(0, []), (2, []), (3, []), (4, []), (4.5, ["caution"]), (8, ["caution"]), (-8, ["caution"])],
)
def test_gain_reduction_on_a_voice(reading, severities):
    """Common practice, no source: 3 to 4 dB on a voice, more calls for backing off."""
    revision = RevisionFactory()
    stage(revision, compressor(), settings={"gr": reading})

    warnings = list(gain_reduction_high(loaded(revision)))

    assert said(warnings) == severities
    assert all("Back off" in warning.way_out for warning in warnings)


def test_gain_reduction_that_was_not_logged_says_nothing():
    assert list(gain_reduction_high(revision_of(compressor()))) == []


def test_gain_not_logged_hints_at_the_usual_start():
    """Common practice, no source: a voice starts near 35 dB of preamplifier gain."""
    [hint] = gain_not_logged(through_preamplifier(microphone(), {"p48": 1}))

    assert hint.severity == "note"
    assert VOICE_STARTING_GAIN_DB == 35
    assert "35 dB" in hint.way_out


def test_gain_that_is_logged_gets_no_hint():
    assert list(gain_not_logged(through_preamplifier(microphone(), {"gain": 0}))) == []
    assert list(gain_not_logged(revision_of(preamplifier()))) == []
    assert list(gain_not_logged(RevisionFactory())) == []


def test_hung_upside_down_fixes_the_cable_first():
    """Common practice, no source: the cable goes on before the microphone is hung."""
    placement = PlacementFactory(orientation=Orientation.HUNG)

    [warning] = hung_upside_down(loaded(placement.revision))

    assert warning.way_out.startswith("Fix its cable first, then hang it")
    assert warning.is_safety


def test_upright_or_not_placed_needs_no_such_caution():
    upright = PlacementFactory(orientation=Orientation.UPRIGHT)

    assert list(hung_upside_down(loaded(upright.revision))) == []
    assert list(hung_upside_down(loaded(RevisionFactory()))) == []


@pytest.mark.parametrize(
    ("samples", "severities"),
    [(64, []), (128, ["note"]), (256, ["caution"]), (1024, ["warning"]), (None, [])],
)
def test_buffer_at_48_khz(samples, severities):
    """Common practice, no source: 1024 samples are heard as an echo, 64 to 256 are worked with."""
    setup = SetupFactory(buffer_samples=samples, session__project__sample_rate=48_000)

    assert said(buffer_too_large(setup)) == severities


def test_buffer_of_1024_samples_is_an_echo():
    """42.7 ms: 2 x 21.3333 ms, the tabled delay of 1024 samples at 48 kHz."""
    verdict = buffer_verdict(
        SetupFactory(buffer_samples=1024, session__project__sample_rate=48_000)
    )

    assert verdict.sentence.startswith("42.7 ms in the headphones is heard as an echo")


def test_buffer_counts_at_the_sample_rate_of_the_project():
    at_48 = SetupFactory(buffer_samples=128, session__project__sample_rate=48_000)
    at_96 = SetupFactory(buffer_samples=128, session__project__sample_rate=96_000)

    assert said(buffer_too_large(at_48)) == ["note"]
    assert said(buffer_too_large(at_96)) == []


def test_unit_in_two_chains_of_the_setup_is_said_once_for_all_they_share():
    """[mic] -- [pre]      [mic] -- [pre]      [other mic]"""
    setup, mic, pre = SetupFactory(), microphone(), preamplifier()
    first = revision_of(mic, pre, setup=setup, track="Ld Vox")
    second = revision_of(mic, pre, setup=setup, track="Harm 1")
    third = revision_of(microphone(), setup=setup)

    [warning] = unit_twice([first, second, third])

    assert str(mic) in warning.reason
    assert str(pre) in warning.reason
    assert "“Alto voice to Ld Vox” and “Alto voice to Harm 1”" in warning.reason
    assert list(unit_twice([first, third])) == []


def test_unit_of_many_channels_is_fine_at_patch_points_of_its_own():
    """[mic] -- Record 1 [converter]      [mic] -- Record 2 [converter]"""
    setup, converter = SetupFactory(), UnitFactory()
    revisions = [revision_of(microphone(), converter, setup=setup) for _ in range(2)]
    for revision in revisions:
        revision.stages.filter(unit=converter).update(patch_in=PatchPointFactory())

    assert list(unit_twice([loaded(revision) for revision in revisions])) == []


def test_unit_twice_in_one_chain():
    pre = preamplifier()

    [warning] = unit_twice([revision_of(pre, pre)])

    assert "more than once in “Alto voice to Ld Vox”" in warning.reason


def test_setup_warnings_begin_with_the_gravest():
    setup, pre = SetupFactory(buffer_samples=1024), preamplifier()
    revision = revision_of(pre, pre, setup=setup)

    assert said(setup_warnings(setup, [revision], NOTHING)) == ["warning", "caution"]


def test_chain_warnings_begin_with_the_gravest_and_cost_no_query(django_assert_num_queries):
    """[valve mic, hung] -- [pre, nothing logged]"""
    mic = microphone(transducer=Transducer.VALVE, phantom=Phantom.HARMLESS)
    revision = revision_of(mic, preamplifier())
    PlacementFactory(revision=revision, orientation=Orientation.HUNG)
    revision = loaded(revision)

    with django_assert_num_queries(0):
        warnings = chain_warnings(revision)

    assert said(warnings) == ["warning", "caution", "caution", "note"]


def test_chain_in_order_has_nothing_to_look_at():
    """[mic] -- [pre gain 35, 48 V on] -- [comp 4:1, 3 dB]"""
    revision = RevisionFactory(chain=ChainFactory())
    stage(revision, microphone())
    stage(revision, preamplifier(), settings={"gain": VOICE_STARTING_GAIN_DB, "p48": 1})
    stage(revision, compressor(), settings={"ratio": 4, "gr": 3})

    assert chain_warnings(loaded(revision)) == []
