"""Each rule where it speaks and where it keeps still. What they rest on is said in each test;
the numbers are common practice, no source, unless a standard is named."""

import pytest

from gear.equipment.models import Category, SignalLevel
from gear.panels.models import Meaning
from sessions.setups.models import Path
from sessions.setups.warnings.signal import (
    after_converter,
    gain_reduction_high,
    level_mismatch,
    monitor_only_before_printed,
    stage_clips,
)
from tests.factories import (
    GearModelFactory,
    PatchPointFactory,
    RevisionFactory,
    UnitFactory,
)
from tests.sessions.setups import in_memory as memory
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    said,
    stage,
)
from tests.sessions.setups.in_memory import knob, unit

pytestmark = pytest.mark.django_db


def test_microphone_level_into_a_line_input():
    """[mic: microphone level] -- [comp: line in]"""
    comp = compressor()

    [warning] = level_mismatch(revision_of(microphone(), comp))

    assert (warning.severity, warning.stage.unit) == ("warning", comp)
    assert "preamplifier" in warning.advice


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
def test_gain_reduction_above_the_plan_calls_for_backing_off(reading, severities):
    revision = RevisionFactory()
    planned = {"planned_reduction_low_db": 3, "planned_reduction_high_db": 4}
    stage(revision, compressor(), settings={"gr": reading}, **planned)

    warnings = list(gain_reduction_high(loaded(revision)))

    assert said(warnings) == severities
    assert all("Back off" in warning.advice for warning in warnings)


def test_gain_reduction_that_was_not_logged_or_not_planned_says_nothing():
    unplanned = RevisionFactory()
    stage(unplanned, compressor(), settings={"gr": 8})

    assert list(gain_reduction_high(revision_of(compressor()))) == []
    assert list(gain_reduction_high(loaded(unplanned))) == []


def test_stage_that_clips_says_by_how_much():
    """20 mV/Pa at 94 dB SPL is -31.8 dBu; + 60 = 28.2 dBu, of 26 at most; full scale is 18 dBu."""
    pre = unit(knob("Gain", Meaning.GAIN), max_output_dbu=26, tag="P-01")
    chain = memory.revision(
        memory.stage(memory.microphone()), memory.stage(pre, {"gain": 60}), source_spl_db=94
    )

    clipping, converter = stage_clips(chain)

    assert clipping.reason == "Saltmarsh preamplifier (P-01) clips at the planned level, by 2.2 dB."
    assert "+10.2 dBFS" in converter.reason


def test_microphone_past_its_maximum_sound_level():
    chain = memory.revision(memory.stage(memory.microphone(max_spl_db=130)), source_spl_db=135)

    [warning] = stage_clips(chain)

    assert "past its maximum sound level, by 5.0 dB" in warning.reason


def test_nothing_clips_where_no_level_is_known():
    assert list(stage_clips(memory.revision(memory.stage(memory.microphone())))) == []


def test_unit_after_the_converter_is_not_recorded():
    """[mic] -- [converter] -- [comp], which is printed"""
    converter = UnitFactory(model=GearModelFactory(category=Category.CONVERTER))

    [warning] = after_converter(revision_of(microphone(), converter, compressor()))

    assert (warning.severity, warning.stage.position) == ("warning", 3)


def test_unit_behind_the_converter_may_be_monitored_or_digital():
    """[mic] -- [converter] -- [comp, monitor only] -- [digital unit] -- [second converter]"""
    converter = UnitFactory(model=GearModelFactory(category=Category.CONVERTER))
    digital = UnitFactory(model=GearModelFactory(input_level=SignalLevel.DIGITAL))
    revision = RevisionFactory()
    for each in (microphone(), converter):
        stage(revision, each)
    stage(revision, compressor(), path=Path.MONITOR_ONLY)
    for each in (digital, converter):
        stage(revision, each)

    assert list(after_converter(loaded(revision))) == []
