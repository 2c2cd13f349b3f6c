from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gear.acting import action
from sessions.recall.models import Rebuild, RebuildStep, Tick
from sessions.recall.proving.actions import undo
from sessions.recall.proving.models import Measurement
from sessions.recall.rebuilds.actions import refuse_finished, tick_control
from sessions.recall.then_and_now.turns import Turned


@dataclass(frozen=True)
class Set:
    """A control of a stage that was set to a value; seen: the version of its tick before that, 0 for none."""

    step: RebuildStep
    key: str
    value: float
    seen: int


@action
def log_turns(turns: Iterable[Set], *, by) -> None:
    """All of them, or none. Raises EditedMeanwhile, RebuildRefused and Harmful as `tick_control` does."""
    for turn in turns:
        tick_control(turn.step, key=turn.key, value=turn.value, seen=turn.seen, by=by)


@action
def undo_round(measurement: Measurement, *, turned: Sequence[Turned], by) -> list[Turned]:
    """Strike the measurement out, and log that what was turned before it stands again as it did, as far as
    nobody set it otherwise since. Answers with what is to be turned back.

    Raises RebuildRefused where the rebuild is finished, and NotTaken where that was undone already.
    """
    refuse_finished(measurement.rebuild_id)
    undo(measurement, by=by)
    ticks = _ticks(measurement.rebuild, measurement.chain_number)
    back = []
    for each in turned:
        tick = ticks.get((each.stage.step.pk, each.line.control.key))
        if tick and tick.value == each.to:
            tick_control(tick.step, key=tick.key, value=each.was, seen=tick.version, by=by)
            back.append(each)
    return back


def _ticks(rebuild: Rebuild, number: int) -> dict[tuple[int, str], Tick]:
    found = Tick.objects.filter(step__rebuild=rebuild, step__chain_number=number)
    return {(tick.step_id, tick.key): tick for tick in found.select_related("step")}
