"""Chains that stand in memory only, loaded as pages load them, for rules that ask no database."""

from itertools import count

from gear.equipment.models import Category, GearModel, Unit
from gear.panels.models import Control, Panel
from sessions.bookings.models import RecordingSession
from sessions.clients.models import Project
from sessions.setups.models import Chain, Placement, Revision, Setup, Source, Stage

_keys = count(1)


def knob(label, meaning="other", *, low=0, high=60, unit="dB", **facts):
    marks = [{"value": low, "angle": -150}, {"value": high, "angle": 150}]
    return control(label, meaning, unit=unit, marks=marks, **facts)


def switch(label, meaning="bypass", words=("out", "in"), **facts):
    marks = [{"value": n, "angle": n, "label": word} for n, word in enumerate(words)]
    return control(label, meaning, kind="switch", marks=marks, **facts)


def meter(label, meaning="gain_reduction", unit="dB"):
    return control(label, meaning, kind="reading", unit=unit, marks=[])


def control(label, meaning, **facts):
    """Its key is its label in small letters."""
    facts = {"kind": "continuous", "tolerance_degrees": 5} | facts
    return Control(key=label.lower(), label=label, meaning=meaning, **facts)


def unit(*controls, tag="", category=Category.PREAMPLIFIER, **facts):
    """A unit whose model has these controls on its panel, kept beside it."""
    model = GearModel(pk=next(_keys), maker="Saltmarsh", name=f"{category}", category=category)
    for name, value in facts.items():
        setattr(model, name, value)
    made = Unit(pk=next(_keys), model=model, asset_tag=tag or f"U-{next(_keys)}")
    made.controls = controls
    return made


def microphone(**facts):
    return unit(category=Category.MICROPHONE, **{"sensitivity_mv_pa": 20} | facts)


def stage(of, settings=None, *, panel_version=1, controls=None, **facts):
    panel = Panel(pk=next(_keys), model=of.model, version=panel_version)
    panel._prefetched_objects_cache = {"controls": list(controls or of.controls)}
    return Stage(pk=next(_keys), unit=of, panel=panel, settings=settings or {}, **facts)


def revision(*stages, full_scale_dbu=18, placement=None, chain=None, **facts):
    """The stages in order, in a chain of its own; placement is a microphone's distance in cm."""
    project = Project(full_scale_dbu=full_scale_dbu, sample_rate=48_000)
    setup = Setup(session=RecordingSession(project=project))
    setup._prefetched_objects_cache = {"photos": []}
    chain = chain or Chain(setup=setup, source=Source(name="Alto voice"), track="Ld Vox")
    chain.pk, chain._prefetched_objects_cache = next(_keys), {"parts": []}
    made = Revision(pk=next(_keys), chain=chain, **facts)
    for position, each in enumerate(stages, 1):
        each.position, each.revision = position, made
    made._prefetched_objects_cache = {"stages": list(stages)}
    made._state.fields_cache["placement"] = None
    made.photos_in_force = []
    if placement is not None:
        made.placement = Placement(distance_cm=placement)
    return made
