"""The page for the whole song, before its chains: what is needed, switched on and patched."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from sessions.setups.models import Revision
from sessions.setups.models.snapshot import UnitFacts


@dataclass(frozen=True)
class NeededUnit:
    """A unit, the chains that it stands in, and how long it must be on before it is used.

    `feeds` are the microphones whose cables are plugged into it before it is switched on.
    """

    unit: UnitFacts
    chains: tuple[int, ...]
    warm_up_minutes: int
    feeds: tuple[UnitFacts, ...]


def needed_units(revisions: Iterable[tuple[int, Revision]]) -> list[NeededUnit]:
    """Of revisions with their numbers on the sheet. In the order in which they are switched on: what must warm up first, then as the signal goes,
    what is only monitored last. A microphone stands before the supply that it is plugged into."""
    units: dict[int, UnitFacts] = {}
    numbers, minutes = defaultdict(dict), defaultdict(int)
    places, feeds = {}, defaultdict(dict)
    for number, revision in revisions:
        if amplifier := revision.hears_amplifier:
            units[amplifier.pk] = amplifier
            numbers[amplifier.pk][number] = None
            minutes[amplifier.pk] = amplifier.model.warm_up_minutes
            places.setdefault(amplifier.pk, (False, 0))
        for stage in revision.stages.all():
            unit, supply = stage.facts.unit, stage.facts.unit.supply
            pair = [unit, supply] if supply else [unit]
            warm_up = max(each.model.warm_up_minutes for each in pair)
            for behind, each in enumerate(pair):
                units[each.pk] = replace(each, channel=None)
                numbers[each.pk][number] = None
                minutes[each.pk] = max(minutes[each.pk], warm_up)
                place = not stage.is_printed, stage.position + behind / 2
                places.setdefault(each.pk, place)
            if supply:
                feeds[supply.pk][unit] = None
    return [
        NeededUnit(units[key], tuple(numbers[key]), minutes[key], tuple(feeds[key]))
        for key in sorted(units, key=lambda key: (-minutes[key], *places[key]))
    ]
