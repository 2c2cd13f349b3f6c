"""No advice against a record, over all pairs of the logged unit and the one in its place: of the demo's
gear, and of gear that is made up. P48 by IEC 61938; whom it harms is what a record says.

All in memory: what pages, sheets, lists and buttons say follows from these texts and rulings; a few
pairs are pressed and read on rendered pages in `test_phantom.py` and `tests/sessions/setups/`.
"""

import re
from itertools import chain, product

import pytest
from django.utils.text import slugify
from hypothesis import given, settings
from hypothesis import strategies as st

from gear.audio.marks import marks_from_text
from gear.equipment.models import Category, Phantom, Transducer
from gear.equipment.phantom import ruling_at
from gear.panels.models import Control, Meaning
from sessions.recall.rebuilds.lines import ControlLine
from sessions.setups.chains.asking import why_ask
from sessions.setups.chains.phantom import line_of, phantom_words, place_of
from sessions.setups.controls.matching import Match
from sessions.setups.input_list.printed import InputLine
from sessions.setups.models import SourceFacts
from sessions.setups.swapping.harm import asks_before_swap
from sessions.setups.warnings.cautions import chain_cautions, setup_cautions
from sessions.setups.warnings.power import phantom_power, supply_before_cable, valve_without_supply
from sessions.setups.warnings.signal import level_mismatch
from sessions.setups.warnings.splits import split_phantom
from studio.demo.microphones import MICROPHONES
from studio.demo.outboard import OUTBOARD
from tests.sessions.setups.in_memory import knob, revision, stage, switch, unit

ADVISES_ON = re.compile(
    r"switch (?:phantom power|48 V|it) on|^48 V on$|^needs 48 V$", re.IGNORECASE
)
ON, OFF, NOT_LOGGED = 1, 0, None


def is_harmed(of):
    """By the record, read naively."""
    return of.model.phantom == Phantom.HARMFUL or of.model.transducer == Transducer.RIBBON


def needs(of):
    return of.model.phantom == Phantom.NEEDED and not is_harmed(of)


def demo_unit(row):
    controls = [
        Control(
            key=slugify(each.label),
            label=each.label,
            kind=each.kind,
            meaning=each.meaning,
            unit=each.unit,
            serves_all=each.serves_all,
            tolerance_degrees=5,
            marks=[
                {"value": mark.value, "angle": mark.angle, "label": mark.label}
                for mark in marks_from_text(each.marks, each.kind, each.unit)
            ],
        )
        for each in row.controls
    ]
    facts = {
        name: value
        for name, value in row.facts.items()
        if name in ("transducer", "phantom", "own_supply", "channels", "phantom_bank")
    }
    return unit(*controls, tag=row.tags[0], category=row.category, **facts)


HEARD_WITH = [
    demo_unit(row) for row in MICROPHONES if row.category in (Category.MICROPHONE, Category.DI_BOX)
]
AMPLIFIERS = [
    demo_unit(row)
    for row in OUTBOARD
    if any(each.meaning == Meaning.PHANTOM for each in row.controls)
]


def phantom_switch(of):
    return next((each for each in of.controls() if each.meaning == Meaning.PHANTOM), None)


def logged_at(amplifier, value):
    key = next(each.key for each in amplifier.controls if each.meaning == Meaning.PHANTOM)
    return {} if value is NOT_LOGGED else {key: value}


def plugged(*units, amplifier, channel=None, value=NOT_LOGGED):
    made = revision(
        *(stage(each) for each in units),
        stage(amplifier, logged_at(amplifier, value), channel=channel),
    )
    made.source_facts = SourceFacts("Alto voice")
    return made


def control_of(made, beside):
    """The switch on a rebuild's checklist, with what was logged there."""
    last = made.stages.all()[-1]
    control = phantom_switch(last)
    value = last.setting(control)
    match = None if value is None else Match(control, value, control, value)
    return ControlLine(control, match, None, ruling=ruling_at(place_of(last), map(line_of, beside)))


def texts_of(made, beside):
    """All that pages, papers and lists say of 48 V for the chain as it stands."""
    control, words = control_of(made, beside), phantom_words(made, beside)
    cells = {"phantom": "on" if control.logged else ""}
    yield words
    yield InputLine(made, cells, None, (), words).phantom_beside
    found = [rule(made) for rule in (valve_without_supply, supply_before_cable, level_mismatch)]
    for warning in chain(phantom_power(made, beside), split_phantom(made, beside), *found):
        yield f"{warning.reason} {warning.advice}"
    yield from (found.caution.text for found in chain_cautions(made, beside))
    yield from (control.why_off, control.why_on)


def check(made, beside, harmed, needed):
    """harmed: whether 48 V from its switch reaches what it can damage; needed: by its own units."""
    control, said = control_of(made, beside), list(texts_of(made, beside))
    if harmed:
        assert [text for text in said if ADVISES_ON.search(text)] == []
        assert control.wanted == OFF
        assert control.button in ("leave_off", "as_logged")
        assert "can damage" in control.why_off
        last = made.stages.all()[-1]
        assert why_ask(last, control.control, ON, beside)
    elif needed:
        assert phantom_words(made, beside) == "48 V on"
        assert control.wanted == ON
        assert control.logged == ON or any(ADVISES_ON.search(text) for text in said)


PAIRS = list(product(HEARD_WITH, HEARD_WITH))


def test_demo_has_all_kinds_of_pairs():
    kinds = {(is_harmed(a), needs(a), is_harmed(b), needs(b)) for a, b in PAIRS}
    assert len(kinds) == 9
    assert any(each.model.phantom_bank > 1 for each in AMPLIFIERS)


@pytest.mark.parametrize("amplifier", AMPLIFIERS, ids=lambda each: each.asset_tag)
def test_one_of_the_demo_in_place_of_another(amplifier):
    """[logged -> substitute] -- [amplifier, 48 V as it was logged for the other]"""
    for logged, substitute in PAIRS:
        for value in {ON if needs(logged) else OFF, NOT_LOGGED, ON}:
            made = plugged(substitute, amplifier=amplifier, channel=1, value=value)
            check(made, [made], is_harmed(substitute), needs(substitute))


@pytest.mark.parametrize("amplifier", AMPLIFIERS, ids=lambda each: each.asset_tag)
def test_one_of_the_demo_beside_another_on_the_next_input(amplifier):
    """[one] -- [amplifier/1]      [another] -- [amplifier/2]"""
    if amplifier.model.channels < 2:
        return
    is_shared = amplifier.model.phantom_bank > 1
    for one, other in PAIRS:
        for value in (ON, OFF):
            first = plugged(one, amplifier=amplifier, channel=1, value=value)
            second = plugged(other, amplifier=amplifier, channel=2)
            harmed = is_harmed(one) or (is_shared and is_harmed(other))
            check(first, [first, second], harmed, needs(one))


@pytest.mark.parametrize("amplifier", AMPLIFIERS, ids=lambda each: each.asset_tag)
def test_swap_is_asked_about_where_48_volts_are_on_and_harm(amplifier):
    for logged, substitute in PAIRS:
        made = plugged(logged, amplifier=amplifier, channel=1, value=ON)
        asked = asks_before_swap(made.stages.all()[0], substitute, [made])
        assert any("can damage" in each for each in asked) == is_harmed(substitute)


NEEDS = st.sampled_from(Phantom.values)
CONDENSER_OR_RIBBON = st.sampled_from([Transducer.CONDENSER, Transducer.RIBBON, ""])
PLUG = st.tuples(
    NEEDS,
    CONDENSER_OR_RIBBON,
    st.booleans(),  # an inline unit that 48 V harms stands behind the microphone
    st.integers(0, 1),  # which amplifier
    st.one_of(st.none(), st.integers(1, 8)),
    st.sampled_from([ON, OFF, NOT_LOGGED]),
)


def amplifiers(bank, serves_all):
    phantom = switch("48 V", Meaning.PHANTOM, ("off", "on"), serves_all=serves_all)
    return [
        unit(phantom, knob("Gain", Meaning.GAIN), channels=8, phantom_bank=bank) for _ in range(2)
    ]


@settings(max_examples=80, deadline=None)
@given(st.sampled_from([1, 2, 4, 8]), st.booleans(), st.lists(PLUG, min_size=1, max_size=5))
def test_whatever_is_plugged_beside_whatever(bank, serves_all, plugs):
    """The oracle: all inputs from the first to the last of a switch, of an unknown one any."""
    both = amplifiers(bank, serves_all)
    chains = []
    for need, transducer, is_fragile, which, channel, value in plugs:
        heard = [unit(category=Category.MICROPHONE, phantom=need, transducer=transducer)]
        if is_fragile:
            heard.append(unit(category=Category.OTHER, phantom=Phantom.HARMFUL))
        chains.append(plugged(*heard, amplifier=both[which], channel=channel, value=value))

    def served(one, other):
        if one[3] != other[3]:
            return False
        if serves_all or None in (one[4], other[4]):
            return True
        return (one[4] - 1) // bank == (other[4] - 1) // bank

    for plug, made in zip(plugs, chains, strict=True):
        reached = [
            other for theirs, other in zip(plugs, chains, strict=True) if served(plug, theirs)
        ]
        harmed = any(is_harmed(each.unit) for other in reached for each in other.stages.all())
        check(made, chains, harmed, needs(made.stages.all()[0].unit))
    for found in setup_cautions(chains):
        assert not ADVISES_ON.search(found.caution.text) or any(
            needs(each.unit) or (each.setting(phantom_switch(each)) if phantom_switch(each) else 0)
            for each in found.stages
        )
