"""What a candidate would do otherwise than the logged unit, by how much, before it is chosen.

Levels by hand from the definitions: 94 dB SPL is 1 Pa (microphone data sheets), 0 dBu is sqrt(0.6) V.
"""

from math import log10, sqrt

import pytest
from django.urls import reverse

from gear.equipment.models import Category, Phantom, Transducer
from gear.panels.models import Kind, Meaning
from sessions.recall.rebuilds.candidates import Stock
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.no_signal import no_signal_in
from tests.factories import (
    ControlFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PanelFactory,
    UnitFactory,
)
from tests.sessions.recall.rebuilds.vocal import recorded_vocal, started, step_at

pytestmark = pytest.mark.django_db


def candidate(rebuild, position, tag):
    [chain] = checklist_of(rebuild).chains
    line = chain.stages[position - 1]
    found = Stock().candidates(line.wanted, chain.wanted)
    return next(each for each in found if each.unit.asset_tag == tag)


def said_of(rebuild, position, unit):
    return "; ".join(candidate(rebuild, position, unit.asset_tag).beyond)


def vocal(spl=94, **facts):
    """[M-01, 10 mV/Pa] -- [P-01 35 dB, 48 V on]; the source at 94 dB SPL is -37.8 dBu there."""
    microphone = {"sensitivity_mv_pa": 10, "transducer": Transducer.CONDENSER, "max_spl_db": None}
    return recorded_vocal(spl=spl, microphone=microphone, **facts)


def substitute(**facts):
    return UnitFactory(model=MicrophoneModelFactory(**facts))


def test_more_sensitive_microphone_clips_what_follows_by_so_much(engineer):
    """20 mV/Pa is 6.0 dB more than 10: P-01, which takes up to -33 dBu, gets -31.8 dBu."""
    rebuild = started(vocal(preamplifier={"max_input_dbu": -33}), engineer)

    said = said_of(rebuild, 1, substitute(sensitivity_mv_pa=20, phantom=Phantom.NEEDED))

    arrives = 20 * log10(0.020 / sqrt(0.6))
    assert f"P-01 after it would clip by {arrives + 33:.1f} dB at the logged gain" in said
    assert f"{20 * log10(2):.1f} dB more sensitive: set as much less gain" in said


def test_like_microphone_is_remarked_on_with_nothing(engineer):
    rebuild = started(vocal(), engineer)

    assert said_of(rebuild, 1, substitute(sensitivity_mv_pa=10, phantom=Phantom.NEEDED)) == ""


def test_sound_level_past_the_maximum_of_the_substitute(engineer):
    rebuild = started(vocal(spl=130), engineer)

    said = said_of(rebuild, 1, substitute(max_spl_db=118, sensitivity_mv_pa=10))

    assert "the logged sound level is past its maximum, by 12.0 dB" in said


def test_preamplifier_whose_output_clips_and_whose_gain_ends_before(engineer):
    """-37.8 dBu and 35 dB are -2.8 dBu; its gain ends at 30 dB."""
    rebuild = started(vocal(), engineer)
    loud = UnitFactory(model=GearModelFactory(category=Category.PREAMPLIFIER, max_output_dbu=-10))
    panel = PanelFactory(model=loud.model)
    ControlFactory(panel=panel, key="gain", label="Gain")
    short = UnitFactory(model=GearModelFactory(category=Category.PREAMPLIFIER))
    ControlFactory(
        panel=PanelFactory(model=short.model),
        key="gain",
        label="Gain",
        marks=[{"value": 0, "angle": -150}, {"value": 30, "angle": 150}],
    )

    out = 20 * log10(0.010 / sqrt(0.6)) + 35
    assert (
        said_of(rebuild, 2, loud)
        == f"it would clip by {out + 10:.1f} dB at the logged level and gain"
    )
    assert "Gain 35 dB: its “Gain” goes from 0 dB to 30 dB: nearest is 30 dB, 5 dB off." in (
        candidate(rebuild, 2, short.asset_tag).unmatched
    )


def test_pattern_that_it_does_not_have(engineer):
    rebuild = started(vocal(pattern="fig. 8"), engineer)
    switched, fixed = substitute(), substitute()
    ControlFactory(
        panel=PanelFactory(model=switched.model),
        key="pattern",
        label="Pattern",
        kind=Kind.SWITCH,
        unit="",
        meaning=Meaning.PATTERN,
        marks=[
            {"value": 0, "angle": 0, "label": "cardioid"},
            {"value": 1, "angle": 1, "label": "omni"},
        ],
    )

    said = said_of(rebuild, 1, switched)
    assert "no figure-of-eight, which was logged: it has cardioid, omni" in said
    assert "check that its own is the logged one, figure-of-eight" in said_of(rebuild, 1, fixed)


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        ({"phantom": Phantom.HARMFUL}, "48 V can damage it, and was logged on at"),
        ({"transducer": Transducer.RIBBON}, "48 V can damage it, and was logged on at"),
        ({"own_supply": True}, "it needs a supply of its own, for which this chain has no place"),
    ],
)
def test_power_is_spoken_of_before_the_unit_is_chosen(client_of, engineer, facts, says):
    rebuild = started(vocal(), engineer)
    unit = substitute(**facts)

    page = client_of(engineer).get(reverse("rebuild:units", args=[rebuild.pk]))

    assert says in said_of(rebuild, 1, unit)
    assert f"{unit}: {says}" in " ".join(
        page.content.decode().split()
    )  # in the list to choose from


def test_one_that_needs_48_volts_where_none_was_logged(engineer):
    rebuild = started(vocal(phantom=Phantom.HARMLESS, settings={"gain": 35}), engineer)

    assert "it needs 48 V, which was not logged on here" in said_of(
        rebuild, 1, substitute(phantom=Phantom.NEEDED)
    )


def test_rebuild_says_first_what_would_pass_no_signal(client_of, engineer):
    rebuild = started(vocal(), engineer)
    step = step_at(rebuild, 1)
    valve = substitute(own_supply=True, transducer=Transducer.VALVE)
    step.unit = valve
    step.save()

    [found] = no_signal_in(checklist_of(rebuild))
    assert f"{valve} has no supply here" in found.reasons[0]
    for name in ("rebuild:detail", "rebuild:report"):
        page = client_of(engineer).get(reverse(name, args=[rebuild.pk])).content.decode()
        text = " ".join(page.split())
        assert text.index("As it stands, no signal would pass: check.") < text.index("<h2")
