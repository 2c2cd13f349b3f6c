"""Chains to test on: a microphone, a preamplifier, a compressor, as a vocal chain has them."""

from gear.equipment.models import Category, SignalLevel
from gear.panels.models import Kind, Meaning
from sessions.setups.models import Revision
from tests.factories import (
    ChainFactory,
    ControlFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PanelFactory,
    RevisionFactory,
    StageFactory,
    UnitFactory,
)

OFF_ON = [{"value": 0, "angle": 0, "label": "off"}, {"value": 1, "angle": 1, "label": "on"}]


def microphone(**facts):
    return UnitFactory(model=MicrophoneModelFactory(**facts))


def preamplifier(**facts):
    """With a gain knob (`gain`, 0 to 60 dB) and a phantom switch (`p48`)."""
    unit = UnitFactory(model=GearModelFactory(**facts))
    panel = PanelFactory(model=unit.model)
    ControlFactory(panel=panel, key="gain", label="Gain")
    switch(panel, key="p48", label="48 V", meaning=Meaning.PHANTOM)
    return unit


def compressor():
    """With a ratio (`ratio`) and a gain reduction meter (`gr`); line in, line out."""
    unit = UnitFactory(
        model=GearModelFactory(category=Category.COMPRESSOR, input_level=SignalLevel.LINE)
    )
    panel = PanelFactory(model=unit.model)
    ControlFactory(
        panel=panel,
        key="ratio",
        label="Ratio",
        kind=Kind.STEPPED,
        unit=":1",
        meaning=Meaning.RATIO,
        marks=[
            {"value": 2, "angle": -60, "label": "2:1"},
            {"value": 4, "angle": 60, "label": "4:1"},
        ],
    )
    ControlFactory(
        panel=panel,
        key="gr",
        label="Gain reduction",
        kind=Kind.READING,
        meaning=Meaning.GAIN_REDUCTION,
        marks=[],
    )
    return unit


def supply(**facts):
    facts = {"category": Category.SUPPLY, "output_level": SignalLevel.MICROPHONE} | facts
    return UnitFactory(model=GearModelFactory(**facts))


def splitter():
    """With an output selector (`out`): 0 is direct, 1 isolated."""
    unit = UnitFactory(model=GearModelFactory(category=Category.SPLITTER))
    marks = [
        {"value": 0, "angle": 0, "label": "direct"},
        {"value": 1, "angle": 30, "label": "isolated"},
    ]
    switch(PanelFactory(model=unit.model), key="out", meaning=Meaning.SPLIT_OUTPUT, marks=marks)
    return unit


def switch(panel, **facts):
    facts = {"kind": Kind.SWITCH, "unit": "", "marks": OFF_ON} | facts
    return ControlFactory(panel=panel, **facts)


def stage(revision, unit, **facts):
    """The unit at the end of the revision, on its model's panel if it has one."""
    facts = {"panel": unit.model.panels.last(), "position": revision.stages.count() + 1} | facts
    return StageFactory(revision=revision, unit=unit, **facts)


def revision_of(*units, **chain_facts):
    """A first revision of a new chain with these units in order, nothing logged."""
    revision = RevisionFactory(chain=ChainFactory(**chain_facts))
    for unit in units:
        stage(revision, unit)
    return loaded(revision)


def loaded(revision):
    """As pages and sheets load it."""
    return Revision.objects.with_stages().get(pk=revision.pk)


def units_in(revision):
    return [stage.unit for stage in loaded(revision).stages.all()]


def settings_of(revision):
    return [stage.settings for stage in revision.stages.all()]


def through_preamplifier(mic, settings):
    revision = RevisionFactory()
    stage(revision, mic)
    stage(revision, preamplifier(), settings=settings)
    return loaded(revision)


def said(warnings):
    return [warning.severity for warning in warnings]
