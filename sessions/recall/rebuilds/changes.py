"""What others changed on a checklist since somebody’s page showed it."""

from dataclasses import astuple, dataclass
from typing import Self

from django.db.models import Max, OuterRef, QuerySet, Subquery

from gear.panels.models import Meaning
from sessions.recall.models import Rebuild, RebuildStep, Tick
from sessions.recall.rebuilds.lines import Checklist, ControlLine, StageLine

#: What a step is set up with: where that changes, all of the list may.
_UNIT = ("unit_id", "panel_id", "outside_unit", "is_left_out")


@dataclass(frozen=True)
class Stamp:
    """The newest entries in the histories of a rebuild, its steps and its ticks. All that changes one
    rebuild queues (`refuse_finished`), so that none of an older number comes later."""

    rebuild: int = 0
    steps: int = 0
    ticks: int = 0

    def __str__(self) -> str:
        return "-".join(map(str, astuple(self)))

    @classmethod
    def read(cls, text: str) -> Self | None:
        """As the page sends it back; None where that is no stamp."""
        numbers = text.split("-")
        if len(numbers) != 3 or not all(each.isascii() and each.isdigit() for each in numbers):
            return None
        return cls(*(int(each[:18]) for each in numbers))


def stamp_of(rebuild: Rebuild) -> Stamp:
    """One query."""
    newest = [
        _newest(Rebuild.history.filter(id=OuterRef("pk")), "id"),
        _newest(RebuildStep.history.filter(rebuild=OuterRef("pk")), "rebuild"),
        _newest(Tick.history.filter(step__rebuild=OuterRef("pk")), "step__rebuild"),
    ]
    return Stamp(*(each or 0 for each in Rebuild.objects.values_list(*newest).get(pk=rebuild.pk)))


def _newest(history: QuerySet, of: str) -> Subquery:
    return Subquery(history.order_by().values(of).annotate(at=Max("history_id")).values("at"))


@dataclass(frozen=True)
class Changes:
    """The stages and the single controls that are not as they were; `whole` where all may be: by other
    units, or by the output of a splitter, on which it hangs where 48 V may be on."""

    whole: bool
    stages: tuple[StageLine, ...] = ()
    controls: tuple[tuple[StageLine, ControlLine], ...] = ()


def changes_since(seen: Stamp | None, checklist: Checklist) -> Changes:
    """In a constant number of queries."""
    rebuild = checklist.rebuild
    if seen is None or seen.rebuild != stamp_of(rebuild).rebuild:
        return Changes(whole=True)
    steps = RebuildStep.history.filter(rebuild=rebuild.pk, history_id__gt=seen.steps)
    changed = set(steps.values_list("id", flat=True))
    ticks = Tick.history.filter(step__rebuild=rebuild.pk, history_id__gt=seen.ticks)
    ticked = set(ticks.values_list("step_id", "key"))
    stages = [line for line in checklist.stages if line.step.pk in changed]
    controls = [
        (line, control)
        for line in checklist.stages
        for control in line.controls
        if (line.step.pk, control.control.key) in ticked
    ]
    if _other_units(seen, stages) or any(
        each.control.meaning == Meaning.SPLIT_OUTPUT for _, each in controls
    ):
        return Changes(whole=True)
    alone = [pair for pair in controls if pair[0].step.pk not in changed]
    return Changes(False, tuple(stages), tuple(alone))


def _other_units(seen: Stamp, stages: list[StageLine]) -> bool:
    keys = [line.step.pk for line in stages]
    before = RebuildStep.history.filter(id__in=keys, history_id__lte=seen.steps)
    was = {row[0]: row[1:] for row in before.order_by("history_id").values_list("id", *_UNIT)}
    return any(
        was.get(line.step.pk) != tuple(getattr(line.step, name) for name in _UNIT)
        for line in stages
    )
