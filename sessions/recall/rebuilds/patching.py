"""What to plug for a rebuild, by the jacks of the units in use and the wiring of today."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from gear.equipment.models import Category
from gear.patchbay.clashes import clashes_of
from gear.patchbay.models import PatchPoint, Side
from gear.patchbay.patching import patch
from gear.patchbay.wiring import load_wiring
from sessions.recall.models import RebuildStep
from sessions.recall.rebuilds.lines import ChainChecklist, StageLine
from sessions.recall.sheet.wanted import WantedStage
from sessions.setups.models import Stage
from sessions.setups.patching.inherited import inherited_jack
from sessions.setups.patching.patch_list import Patching, wishes
from sessions.setups.patching.plugs import cord_numbers
from sessions.setups.signal_path.spine import wires_of

Points = dict[tuple[int | None, str], list[PatchPoint]]


def points_of(steps: Iterable[RebuildStep]) -> Points:
    """The jacks that the units of the steps are wired to. One query."""
    wired = defaultdict(list)
    units = [step.unit_id for step in steps if step.unit_id]
    for point in PatchPoint.objects.filter(unit__in=units).select_related("bay"):
        wired[point.unit_id, point.side].append(point)
    return wired


def jack_at(
    step: RebuildStep, wanted: WantedStage, side: Side, points: Points
) -> PatchPoint | None:
    """Where the unit in use is patched: the logged one where it was, another in its place."""
    standing = wanted.patch_in if side == Side.RETURN else wanted.patch_out
    if step.unit_id is not None and step.unit_id == wanted.unit_id:
        return standing
    wired = _only(points[step.unit_id, side], step)
    return inherited_jack(standing, unit_id=wanted.unit_id, wired=wired)


def _only(points: list[PatchPoint], step: RebuildStep) -> PatchPoint | None:
    points = [point for point in points if point.channel in (None, step.channel or point.channel)]
    return points[0] if len(points) == 1 else None


def with_lines_of_left_out(lines: list[StageLine]) -> list[StageLine]:
    """The line of a wall box that a left-out supply was plugged into is its microphone's."""
    found: list[StageLine] = []
    for line in lines:
        wanted, before = line.wanted, found[-1] if found else None
        if before and not line.in_use and wanted.category == Category.SUPPLY:
            jack = inherited_jack(wanted.patch_out, unit_id=wanted.unit_id, wired=before.patch_out)
            found[-1] = replace(before, patch_out=jack)
        found.append(line)
    return found


def as_stage(line: StageLine) -> Stage:
    """The stage that it would be in a chain; not saved."""
    return Stage(
        position=line.wanted.position,
        unit=line.in_use,
        channel=line.step.channel,
        path=line.wanted.path,
        patch_in=line.patch_in,
        patch_out=line.patch_out,
    )


def patched(chains: list[ChainChecklist]) -> tuple[list[ChainChecklist], Patching]:
    """The chains with their wires, and what to plug for all of them together."""
    wiring = load_wiring()
    wanted = [
        wish for chain in chains for wish in wishes(chain.connections, wiring, (str(chain.wanted),))
    ]
    patch_list = patch(wanted, wiring)
    numbers = cord_numbers([patch_list])
    wired = [
        replace(chain, wires=wires_of(chain.connections, patch_list, numbers, {}))
        for chain in chains
    ]
    return wired, Patching(patch_list, tuple(clashes_of(patch_list, wiring)))
