"""What a rebuilt song must come to, as the database has it: each revision that a chosen take went
through, where its microphone stood, its group, its units in order, and what feeds what."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gear.equipment.models import Phantom
from gear.panels.models import Meaning
from gear.patchbay.models import TieLine
from sessions.setups.models import Chain, Path, Placement, Revision, Stage
from sessions.songs.models import Part, Song
from sessions.takes.models import TakePart


def revisions_of(subject: Song | Part) -> dict[tuple[str, str, int], Revision]:
    """By source, track and number."""
    if isinstance(subject, Part):
        parts = subject.take_parts.all()
    else:
        parts = TakePart.objects.filter(take__song=subject)
    through = [each for part in parts.chosen() for each in part.through()]
    found = Revision.objects.filter(pk__in=[each.revision_id for each in through])
    return {
        (revision.chain.source.name, revision.chain.track, revision.number): revision
        for revision in found.select_related("chain__source__panel", "chain__group", "placement")
    }


def stages_of(revision: Revision) -> list[Stage]:
    stages = revision.stages.select_related(
        "unit__model", "panel", "patch_in__bay", "patch_out__bay"
    )
    return list(stages.prefetch_related("panel__controls").order_by("position"))


def tag_of(stage: Stage) -> str:
    return f"{stage.unit.asset_tag}/{stage.channel}" if stage.channel else stage.unit.asset_tag


@dataclass(frozen=True)
class Feed:
    """That a unit's output is to reach another's input, or the recorder's; with the jacks that somebody
    named, if the two are at a bay."""

    source: Stage
    destination: Stage | None
    input: str

    @property
    def jacks(self) -> tuple[str, str] | None:
        jacks = self.source.patch_out, self.destination and self.destination.patch_in
        return tuple(jack.name for jack in jacks) if all(jacks) else None

    @property
    def ends(self) -> tuple[str, str]:
        return tag_of(self.source), tag_of(self.destination) if self.destination else self.input


def feeds_of(revision: Revision) -> Iterator[Feed]:
    """What is recorded is fed by what is recorded before it, what is only heard by what stands before."""
    recorded = before = None
    for stage in stages_of(revision):
        feeder = recorded if stage.path == Path.PRINTED else before
        if feeder:
            yield Feed(feeder, stage, "")
        before = stage
        recorded = stage if stage.path == Path.PRINTED else recorded
    if recorded and revision.chain.destination_input:
        yield Feed(recorded, None, revision.chain.destination_input)


def walls_of(revision: Revision) -> Iterator[tuple[str, str]]:
    """The lines of wall boxes into which its units are plugged."""
    for stage in stages_of(revision):
        line = TieLine.objects.filter(point=stage.patch_out).first()
        if stage.patch_out and line:
            yield f"{line}", tag_of(stage)


def harmed_and_needing(revisions: Iterable[Revision]) -> tuple[set[str], set[str]]:
    """Inputs with a phantom switch at which 48 V can damage a microphone, of theirs or of another input
    of the same switch; and of the others those whose microphone needs it."""
    inputs = [
        (stage, stages[0].unit.model.phantom_need)
        for stages in map(stages_of, revisions)
        for stage in stages
        if stage.panel and stage.controls_for(Meaning.PHANTOM)
    ]
    banks = defaultdict(set)
    for stage, need in inputs:
        banks[stage.unit_id, (stage.channel - 1) // stage.unit.model.phantom_bank].add(need)
    harmed, needing = set(), set()
    for stage, need in inputs:
        bank = banks[stage.unit_id, (stage.channel - 1) // stage.unit.model.phantom_bank]
        if Phantom.HARMFUL in bank:
            harmed.add(tag_of(stage))
        elif need == Phantom.NEEDED:
            needing.add(tag_of(stage))
    return harmed, needing


def group_of(chain: Chain) -> tuple | None:
    group = chain.group
    return group and (
        group.name,
        chain.seat,
        group.get_arrangement_display().partition(":")[0].lower(),
        _figure(group.spacing_cm),
        _figure(group.included_angle_deg),
    )


def placement_of(revision: Revision) -> dict | None:
    placed: Placement | None = getattr(revision, "placement", None)
    return placed and {
        "distance": _figure(placed.distance_cm),
        "height": _figure(placed.height_cm),
        "angle": _figure(placed.angle_deg),
        "orientation": placed.get_orientation_display().lower(),
        "pattern": placed.pattern,
        "pop filter": (placed.pop_filter, _figure(placed.pop_filter_cm)),
        "stand": placed.stand,
        "cable": placed.cable,
        "axis": placed.get_angle_towards_display().lower(),
        "position": (_figure(placed.across_cm), _figure(placed.along_cm)),
    }


def _figure(value) -> float | None:
    return None if value is None else float(value)
