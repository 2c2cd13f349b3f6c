"""What stands at each step of a rebuild: a unit of the gear, or one from outside."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from gear.equipment.models import GearModel, Unit
from gear.panels.models import Control
from sessions.recall.models import RebuildStep
from sessions.recall.rebuilds.taking_over import model_facts
from sessions.recall.sheet.wanted import WantedChain, WantedStage


@dataclass(frozen=True)
class InUse:
    """A unit, its controls, and how what was logged there stood, by their keys."""

    unit: Unit
    controls: tuple[Control, ...]
    logged: Mapping[str, float]


def in_use_at(steps: Iterable[RebuildStep], chains: Iterable[WantedChain] = ()) -> dict[int, InUse]:
    """By the step's key; of what is left out none. chains: at least those of steps from outside. Reads
    of a step unit.model, panel.controls and stage."""
    wanted = {(chain.number, stage.position): stage for chain in chains for stage in chain.stages}
    steps, found = list(steps), {}
    outside = [
        (step, wanted[step.chain_number, step.position]) for step in steps if step.is_from_outside
    ]
    units = _from_outside(outside)
    for step in steps:
        if step.unit:
            controls = tuple(step.panel.controls.all()) if step.panel else ()
            logged = step.stage.settings if step.stage else {}
            found[step.pk] = InUse(step.unit, controls, logged)
    for step, stage in outside:
        found[step.pk] = InUse(units[_name_of(step, stage)], stage.controls, stage.settings)
    return found


def _from_outside(outside: list[tuple[RebuildStep, WantedStage]]) -> dict[tuple, Unit]:
    """Units of the models that the sheet describes, never saved, one for all places of one name: its
    channels share what serves them all. Their keys are those of no unit, so that they can be told apart."""
    units = {}
    for step, wanted in outside:
        name = _name_of(step, wanted)
        if name not in units:
            tag = f"not in the gear: {wanted.tag}" if wanted.tag else "not in the gear"
            model = GearModel(**model_facts(wanted))
            units[name] = Unit(pk=-step.pk, model=model, asset_tag=step.outside_unit or tag)
        model = units[name].model
        model.channels = max(model.channels, wanted.channel or 1)
    return units


def _name_of(step: RebuildStep, wanted: WantedStage) -> tuple:
    """What tells it from others: without a tag its place does."""
    known = step.outside_unit or wanted.tag
    return (wanted.model, known) if known else (wanted.model, "", step.pk)
