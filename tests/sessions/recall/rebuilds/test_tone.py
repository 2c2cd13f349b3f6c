"""The tone check: deviation from what ought to be read, and the stage that is out."""

from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from gear.panels.models import Control, Kind, Meaning
from sessions.recall.rebuilds.tone import ReadNow, chain_tone
from sessions.recall.sheet.wanted import WantedChain, WantedStage

NOON = datetime(2026, 6, 1, 12, tzinfo=ZoneInfo("Europe/Berlin"))


def wanted(position, logged=None, *, category="channel", path="printed", gain=None):
    marks = [{"value": -60, "angle": -150, "label": ""}, {"value": 60, "angle": 150, "label": ""}]
    control = Control(
        key="gain", label="Gain", kind=Kind.CONTINUOUS, unit="dB", meaning=Meaning.GAIN, marks=marks
    )
    return WantedStage(
        position=position,
        path=path,
        model="Hobweir Stile 1",
        tag=f"P-0{position}",
        category=category,
        panel_version=1,
        controls=(control,),
        settings={} if gain is None else {"gain": gain},
        tone_reading_dbu=None if logged is None else Decimal(logged),
    )


def chain(*stages, tone="-40", readings_from=None):
    tone = None if tone is None else Decimal(tone)
    return WantedChain(
        number=1,
        source="Fiddle",
        track="Fdl 1",
        destination_input="",
        stages=stages,
        revision_number=2,
        tone_dbu=tone,
        readings_from=readings_from,
    )


def read(*levels):
    """From the first stage on."""
    return {at: ReadNow(level, NOON) for at, level in enumerate(levels, 1) if level is not None}


def deviations(found):
    return [(stage.deviation_db, stage.step_db, stage.is_out_here) for stage in found.stages]


def test_stage_departs_whose_own_step_differs_and_those_behind_it_follow():
    found = chain_tone(
        chain(wanted(1, "-5"), wanted(2, "4"), wanted(3, "4"), wanted(4, "0")),
        read(-5.2, 2.0, 1.9, 0.1),
    )

    assert deviations(found) == [
        (-0.2, -0.2, False),
        (-2.0, -1.8, True),
        (-2.1, -0.1, False),
        (0.1, 2.2, True),  # two wrongs: it makes up for what the second took off
    ]
    assert found.first_out.position == 2
    assert found.at(3).is_off


def test_half_a_decibel_is_within_tolerance():
    assert chain_tone(chain(wanted(1, "4")), read(4.5)).first_out is None
    assert chain_tone(chain(wanted(1, "4")), read(4.51)).first_out.position == 1


def test_small_steps_that_add_up_depart_together():
    found = chain_tone(chain(wanted(1, "0"), wanted(2, "0")), read(0.4, 0.8))

    assert (found.first_out.position, found.first_out.is_out_here) == (2, False)


def test_stage_that_nobody_read_is_stepped_over():
    found = chain_tone(chain(wanted(1, "0"), wanted(2, "0"), wanted(3, "0")), read(0.1, None, 1.1))

    assert deviations(found)[1:] == [(None, None, False), (1.1, 1.0, True)]


def test_chain_without_logged_readings_is_held_against_its_logged_controls():
    found = chain_tone(chain(wanted(1, gain=35), wanted(2, gain=-5)), read(-5.0, -12.0))

    assert [stage.expected for stage in found.stages] == [-5, -10]
    assert found.first_out.position == 2


def test_reading_of_another_revision_counts_only_where_nothing_can_be_computed():
    stages = wanted(1, "-3", gain=35), wanted(2, "4")

    found = chain_tone(chain(*stages, readings_from=1), {})

    assert [stage.expected for stage in found.stages] == [-5, 4]
    assert [stage.earlier for stage in found.stages] == [-3, 4]
    assert chain_tone(chain(*stages, readings_from=2), {}).stages[0].expected == -3


def test_only_stages_that_a_tone_can_go_through_are_asked_for():
    microphone, supply = wanted(1, category="microphone"), wanted(2, category="supply")

    found = chain_tone(chain(microphone, supply, wanted(3, gain=40), tone=None), {})

    assert [stage.position for stage in found.stages] == [3]
    assert (found.words, found.is_logged) == ("1 kHz at −40.0 dBu", False)


def test_monitor_path_is_held_against_what_stands_before_it():
    found = chain_tone(
        chain(wanted(1, "0"), wanted(2, "0", path="monitor"), wanted(3, "0")), read(0, -3, 0)
    )

    assert [step for _, step, _ in deviations(found)] == [0, -3, 0]
    assert found.first_out is None  # what is printed is right


@pytest.mark.parametrize(
    ("changed", "to_read_again"), [(1, [1, 2, 3]), (2, [2]), (3, [3]), (4, [])]
)
def test_reading_is_stale_when_anything_before_it_was_set_since(changed, to_read_again):
    """1 --- 3 --- 4 unread, and 2 is only monitored"""
    now = read(0, 0, 0)
    at = now.get(changed, ReadNow())
    now[changed] = ReadNow(at.dbu, at.at, NOON + timedelta(minutes=1))
    stages = wanted(1, "0"), wanted(2, "0", path="monitor"), wanted(3, "0"), wanted(4, "0")

    found = chain_tone(chain(*stages), now)

    assert [stage.position for stage in found.to_read_again] == to_read_again
    assert all(stage.set_since.position == changed for stage in found.to_read_again)
