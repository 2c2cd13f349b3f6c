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
    found = {}
    for step in steps:
        if step.unit:
            controls = tuple(step.panel.controls.all()) if step.panel else ()
            logged = step.stage.settings if step.stage else {}
            found[step.pk] = InUse(step.unit, controls, logged)
        elif step.is_from_outside:
            found[step.pk] = _from_outside(step, wanted[step.chain_number, step.position])
    return found


def _from_outside(step: RebuildStep, wanted: WantedStage) -> InUse:
    """Of the model and with the panel that the sheet describes; never saved. Its key is that of no
    unit, so that it can be told from others."""
    model = GearModel(**model_facts(wanted), channels=wanted.channel or 1)
    unit = Unit(pk=-step.pk, model=model, asset_tag=step.outside_unit or "not in the gear")
    return InUse(unit, wanted.controls, wanted.settings)
