"""A rebuild’s checklist, loaded: all of it, or one stage by itself."""

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import Prefetch

from gear.equipment.phantom import Line, ruling_at
from gear.panels.models import Meaning
from gear.patchbay.models import Side
from sessions.recall.imported.chains import chains_of_data
from sessions.recall.models import Rebuild, RebuildStep, Tick
from sessions.recall.rebuilds.in_use import InUse, in_use_at
from sessions.recall.rebuilds.lines import ChainChecklist, Checklist, ControlLine, StageLine
from sessions.recall.rebuilds.patching import (
    Points,
    as_stage,
    jack_at,
    patched,
    points_of,
    with_lines_of_left_out,
)
from sessions.recall.rebuilds.phantom import harmed_in, lines_of, place_of, steps_with_units
from sessions.recall.rebuilds.twice import with_twice
from sessions.recall.sheet.wanted import WantedChain, WantedStage, chain_of_revision
from sessions.setups.controls.matching import match_settings
from sessions.setups.models import Revision
from sessions.setups.patching.connections import connect


def steps_of(steps) -> list[RebuildStep]:
    """Steps with all that working on them reads, in a constant number of queries."""
    return list(
        steps.select_related(
            "rebuild__song__project",
            "rebuild__imported",
            "unit__model",
            "unit__supply__model",
            "panel",
            "in_place_by",
            "rebuilt__revision__chain__source",
        )
        .prefetch_related("panel__controls", Prefetch("ticks", _ticks()), "stage")
        .order_by("chain_number", "position")
    )


def _ticks():
    return Tick.objects.select_related("ticked_by")


def checklist_of(rebuild: Rebuild) -> Checklist:
    """The whole rebuild; in a constant number of queries."""
    steps = steps_of(rebuild.steps.all())
    chains = wanted_chains(rebuild, steps)
    standing = _Standing(steps, chains, points_of(steps))
    by_chain = defaultdict(list)
    for step in steps:
        by_chain[step.chain_number].append(step)
    found = [_chain_checklist(chain, by_chain[chain.number], standing) for chain in chains]
    wired, patching = patched(with_twice(found))
    return Checklist(rebuild, tuple(wired), patching)


def stage_line(step: RebuildStep) -> StageLine:
    """One stage by itself."""
    (step,) = steps_of(RebuildStep.objects.filter(pk=step.pk))
    beside = list(steps_with_units(step.rebuild))
    outside = [each for each in beside if each.is_from_outside]
    chains = wanted_chains(step.rebuild, [step, *outside])
    standing = _Standing(beside, chains, points_of([step]))
    for chain in chains:
        for wanted in chain.stages:
            if (chain.number, wanted.position) == (step.chain_number, step.position):
                return _stage_line(step, wanted, standing)
    raise LookupError(f"{step} belongs to no chain of its recall.")


def wanted_chains(rebuild: Rebuild, steps: Iterable[RebuildStep]) -> list[WantedChain]:
    """The chains that the steps set up again, in their order."""
    numbers = {step.chain_number: step for step in steps}
    if rebuild.imported_id:
        chains = chains_of_data(rebuild.imported.data)
        return [chain for chain in chains if chain.number in numbers]
    keys = {number: step.stage.revision_id for number, step in numbers.items()}
    revisions = Revision.objects.filter(pk__in=set(keys.values())).with_stages().in_bulk()
    return [chain_of_revision(revisions[key], number) for number, key in sorted(keys.items())]


class _Standing:
    """What stands at all steps of a rebuild at once, how 48 V sees it, and the jacks it is wired to."""

    def __init__(self, steps: list[RebuildStep], chains: list[WantedChain], points: Points):
        self.in_use: dict[int, InUse] = in_use_at(steps, chains)
        self.lines: dict[int, Line] = lines_of(steps, self.in_use)
        self.points = points


def _chain_checklist(
    wanted: WantedChain, steps: list[RebuildStep], standing: _Standing
) -> ChainChecklist:
    by_position = {step.position: step for step in steps}
    lines = with_lines_of_left_out(
        [
            _stage_line(by_position[stage.position], stage, standing)
            for stage in wanted.stages
            if stage.position in by_position
        ]
    )
    in_use = [as_stage(line) for line in lines if line.in_use]
    made = connect(in_use, wanted.destination_input)
    harmed = harmed_in(wanted.number, standing.lines)
    return ChainChecklist(wanted, tuple(lines), tuple(made), harmed)


def _stage_line(step: RebuildStep, wanted: WantedStage, standing: _Standing) -> StageLine:
    stands = standing.in_use.get(step.pk)
    return StageLine(
        step=step,
        wanted=wanted,
        in_use=stands and stands.unit,
        controls=tuple(_control_lines(step, wanted, stands, standing)) if stands else (),
        unmatched=tuple(_unmatched(wanted, stands)) if stands else (),
        patch_in=jack_at(step, wanted, Side.RETURN, standing.points),
        patch_out=jack_at(step, wanted, Side.SEND, standing.points),
    )


def _unmatched(wanted: WantedStage, stands: InUse) -> list[str]:
    matches = match_settings(wanted.logged(), stands.controls)
    return [match.problem for match in matches if match.problem]


def _control_lines(
    step: RebuildStep, wanted: WantedStage, stands: InUse, standing: _Standing
) -> Iterable[ControlLine]:
    matches = match_settings(wanted.logged(), stands.controls)
    taken = {match.target.key: match for match in matches if match.target}
    ticks = {tick.key: tick for tick in step.ticks.all()}
    photographed, not_yet_set = (
        {(each.key, each.meaning) for each in wanted.controls if each.key in keys}
        for keys in (wanted.photographed, wanted.not_yet_set)
    )
    ruling = ruling_at(place_of(step, stands), standing.lines.values())
    for control in stands.controls:
        yield ControlLine(
            control,
            taken.get(control.key),
            ticks.get(control.key),
            step.tone_read_at,
            ruling if control.meaning == Meaning.PHANTOM else None,
            (control.key, control.meaning) in photographed,
            (control.key, control.meaning) in not_yet_set,
            tuple(photo for photo in wanted.photos if control.key in photo.reads),
        )
