"""One unit, or one channel of a unit, that is chosen at two places of a rebuild at a time."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from sessions.recall.rebuilds.lines import ChainChecklist, StageLine
from sessions.recall.rebuilds.patching import as_stage
from sessions.setups.warnings.channels import behind_copies

At = tuple[ChainChecklist, StageLine]


def with_twice(chains: list[ChainChecklist]) -> list[ChainChecklist]:
    """The chains, in which each line says where else its unit stands. What comes before a mult or a
    splitter is once, however many chains take their copies there."""
    of_unit: dict[int, list[At]] = defaultdict(list)
    for chain in chains:
        alone = {stage.position for stage in behind_copies([as_stage(x) for x in chain.in_use])}
        for line in chain.stages:
            if line.unit and line.wanted.position in alone:
                of_unit[line.unit.pk].append((chain, line))
    found: dict[int, list[str]] = defaultdict(list)
    for places in of_unit.values():
        for here, other in _pairs(places):
            found[here[1].step.pk].append(_words(here, other))
    return [
        replace(
            chain,
            stages=tuple(
                replace(line, also_in=tuple(found.get(line.step.pk, ()))) for line in chain.stages
            ),
        )
        for chain in chains
    ]


def _pairs(places: list[At]) -> Iterator[tuple[At, At]]:
    for here in places:
        for other in places:
            if here is not other and _at_once(here, other, len(places)):
                yield here, other


def _at_once(here: At, other: At, uses: int) -> bool:
    channels = here[1].unit.model.channels
    mine, theirs = here[1].step.channel, other[1].step.channel
    if channels > 1 and None in (mine, theirs):
        return uses > channels  # whichever they are
    return channels == 1 or mine == theirs


def _words(here: At, other: At) -> str:
    chain, line = other
    unit, channel = here[1].unit, here[1].step.channel
    what = f"channel {channel} of {unit}" if channel and unit.model.channels > 1 else f"{unit}"
    where = f"unit {line.wanted.position}"
    if chain is not here[0]:
        where += f" of “{chain.wanted}”"
    return f"{what} stands as {where} as well. One at a time: choose another for one of the two."
