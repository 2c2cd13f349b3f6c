"""The chains of a rebuild as 48 V sees them, by the units that are chosen now."""

from collections import defaultdict
from collections.abc import Iterable

from gear.equipment.models import Unit
from gear.equipment.phantom import Line, Place, phantom_ruling, reached
from gear.panels.models import Meaning
from sessions.recall.models import Rebuild, RebuildStep


def lines_of(steps: Iterable[RebuildStep]) -> dict[int, Line]:
    """Each chain by its number, as 48 V sees it. Reads of a step unit.model, panel.controls, stage and
    ticks."""
    places = defaultdict(list)
    for step in steps:
        if step.unit:
            places[step.chain_number].append(place_of(step))
    return {number: Line(tuple(found)) for number, found in places.items()}


def place_of(step: RebuildStep) -> Place:
    controls = step.panel.controls.all() if step.panel else ()
    settings = step.stage.settings if step.stage else {}
    settings = settings | {tick.key: tick.value for tick in step.ticks.all()}
    return Place(
        step.unit,
        step.channel,
        any(control.meaning == Meaning.PHANTOM for control in controls),
        any(
            control.meaning == Meaning.SPLIT_OUTPUT and (settings.get(control.key) or 0) > 0
            for control in controls
        ),
    )


def steps_with_units(rebuild: Rebuild):
    """In signal order, with what `lines_of` reads."""
    steps = rebuild.steps.select_related("unit__model", "panel", "stage")
    return steps.prefetch_related("panel__controls", "ticks").order_by("chain_number", "position")


def harmed_in(number: int, lines: dict[int, Line]) -> tuple[Unit, ...]:
    """What phantom power in the chain can damage: its own units, and those of chains whose inputs the
    same switch serves."""
    if number not in lines:
        return ()
    found = [lines[number], *reached(lines[number].switches, lines.values())]
    return phantom_ruling(unit for line in found for unit in line.units).harmed
