"""The chains of a rebuild as 48 V sees them, by the units that are chosen now."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from gear.equipment.models import Unit
from gear.equipment.phantom import Line, Place, phantom_ruling, reached
from gear.panels.models import Meaning
from sessions.recall.models import Rebuild, RebuildStep
from sessions.recall.rebuilds.in_use import InUse
from sessions.setups.chains.phantom import place_at


def lines_of(steps: Iterable[RebuildStep], in_use: Mapping[int, InUse]) -> dict[int, Line]:
    """Each chain by its number, as 48 V sees it: what came from outside counts as what the sheet
    describes. Reads a step's ticks."""
    places = defaultdict(list)
    for step in steps:
        if stands := in_use.get(step.pk):
            places[step.chain_number].append(place_of(step, stands))
    return {number: Line(tuple(found)) for number, found in places.items()}


def place_of(step: RebuildStep, stands: InUse) -> Place:
    settings = {**stands.logged, **{tick.key: tick.value for tick in step.ticks.all()}}
    outputs = [each.key for each in stands.controls if each.meaning == Meaning.SPLIT_OUTPUT]
    isolates = any(settings.get(key) for key in outputs)
    return place_at(stands.unit, step.channel, stands.controls, isolates=isolates)


def steps_with_units(rebuild: Rebuild):
    """In signal order, with what `lines_of` and `in_use_at` read."""
    steps = rebuild.steps.select_related("unit__model", "panel", "stage")
    return steps.prefetch_related("panel__controls", "ticks").order_by("chain_number", "position")


def harmed_in(number: int, lines: dict[int, Line]) -> tuple[Unit, ...]:
    """What phantom power in the chain can damage: its own units, and those of chains whose inputs the
    same switch serves."""
    if number not in lines:
        return ()
    found = [lines[number], *reached(lines[number].switches, lines.values())]
    return phantom_ruling(unit for line in found for unit in line.units).harmed
